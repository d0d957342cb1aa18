//! The window's shell: it owns the window, the workers, undo and the commands, and puts the pages together.

pub mod dialogs;
pub mod drops;
pub mod overlay;
pub mod pages;
pub mod saving;
pub mod snapping;
pub mod tasks;
pub mod window;
pub mod work;

mod apply;
mod cabinet;
mod commands;
mod deliver;
mod hand_out;
mod intake;
mod new_die;
mod notices_view;
mod other_coin;
mod overlays_view;
mod set_landmarks;
mod set_plates;
mod set_sharing;
mod tasks_view;
mod top_bar;
mod workshop;
