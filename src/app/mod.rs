//! The window: views, actions, undo, workers, keyboard. Holds no formula.

pub mod action;
pub mod bench;
pub mod canvas;
pub mod history;
pub mod view;
pub mod work;
