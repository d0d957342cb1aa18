//! What pages are drawn with: panes, canvases, marks, notices, lists. Knows neither pages nor the shell.

pub mod camera;
pub mod canvas;
pub mod command;
pub mod marks;
pub mod notice;
pub mod nudge;
pub mod paint;
pub mod pane;
pub mod picture_marks;
pub mod rim;
pub mod rows;
pub mod theme;
