//! The window: views, actions, undo, workers, keyboard. Holds no formula.

pub mod action;
pub mod bench;
pub mod camera;
pub mod canvas;
pub mod dialogs;
pub mod draft;
pub mod drops;
pub mod history;
pub mod keys;
pub mod message;
pub mod notice;
pub mod other_coin;
pub mod overlay;
pub mod page;
pub mod saving;
pub mod shelf;
pub mod snapping;
pub mod store;
pub mod tasks;
pub mod theme;
pub mod thumbnails;
pub mod view;
pub mod window;
pub mod work;
pub mod workshop;

mod apply;
mod deliver;

use std::path::PathBuf;

use window::{Setup, Window};

/// Why the window could not be shown.
#[derive(Debug, thiserror::Error)]
pub enum AppError {
    /// The system gave no window.
    #[error("The window could not be opened: {0}. Check that a display is there and that it offers OpenGL.")]
    NoWindow(String),
}

/// Opens the window and stays until it is closed.
///
/// `open` is what to show at once: a specimen's folder, a reference set, or a photo for a new specimen.
///
/// # Errors
/// [`AppError::NoWindow`] where there is no display or no OpenGL.
pub fn run(open: Option<PathBuf>) -> Result<(), AppError> {
    let mut window = Window::new(Setup::for_this_user());
    if let Some(folder) = open {
        window.take_files(vec![folder]);
    }
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Dietell")
            .with_app_id("dietell")
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([900.0, 600.0]),
        ..Default::default()
    };
    eframe::run_native("dietell", options, Box::new(move |_| Ok(Box::new(window))))
        .map_err(|error| AppError::NoWindow(error.to_string()))
}
