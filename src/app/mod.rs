//! The window: a shell, pages and widgets, and the model that shell and pages share. Holds no formula.

pub mod model;
pub mod pages;
pub mod shell;
pub mod widgets;

use std::path::PathBuf;

use shell::window::{Setup, Window};

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
