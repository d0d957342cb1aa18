//! Writing the sheet to a file.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::make::Work;
use crate::app::model::action::Action;
use crate::app::model::message::Message;
use crate::app::shell::window::Window;
use crate::files;
use crate::photo::Watch;
use crate::sheet::{Sheet, SheetError, write_sheet};

/// Makes the sheet of what is on the bench and writes it, off the UI thread.
pub fn export(window: &mut Window, file: PathBuf) {
    let Some(bench) = &mut window.bench else {
        return;
    };
    let file = with_ending(file);
    let watch = Watch::default();
    let paper = window.pages.sheet.paper;
    let mut work = Work::of(bench, &window.plates, paper, watch.clone());
    window.pages.sheet.exporting = Some(watch.clone());
    window.push(Action::Slow(Box::new(move || {
        let sheet = work.sheet();
        let written = if watch.is_cancelled() {
            None
        } else {
            Some(write(&sheet, &file))
        };
        Message::Then(Box::new(move |window| {
            window.pages.sheet.exporting = None;
            match written {
                None => window
                    .notices
                    .done("The export was stopped; nothing was written."),
                Some(Ok(files)) => window.notices.done(done_words(&files)),
                Some(Err(error)) => window.notices.problem(error.to_string()),
            }
        }))
    })));
}

fn write(sheet: &Sheet, file: &Path) -> Result<Vec<PathBuf>, Arc<SheetError>> {
    write_sheet(sheet, file).map_err(Arc::new)
}

/// A name without an ending becomes a PDF.
fn with_ending(file: PathBuf) -> PathBuf {
    if file.extension().is_some() {
        file
    } else {
        file.with_extension("pdf")
    }
}

fn done_words(files: &[PathBuf]) -> String {
    match files {
        [one] => format!("The sheet is written to {}.", one.display()),
        [first, ..] => format!(
            "The sheet is written as {} pictures, the first of them {}.",
            files.len(),
            first.display()
        ),
        [] => "The sheet has no pages.".to_owned(),
    }
}

/// A file name made of the specimen's title.
#[must_use]
pub fn file_name(title: &str, ending: &str) -> String {
    match files::plain_name(title, &['-'], " ", "").as_str() {
        "" => format!("attribution.{ending}"),
        name => format!("{name}, attribution.{ending}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn file_names_are_harmless() {
        assert_eq!(file_name("", "pdf"), "attribution.pdf");
        assert_eq!(file_name("../a/b: c?", "png"), "a b c, attribution.png");
        assert!(file_name(&"x".repeat(500), "pdf").len() < 120);
        assert_eq!(with_ending("a".into()), PathBuf::from("a.pdf"));
        assert_eq!(with_ending("a.PNG".into()), PathBuf::from("a.PNG"));
    }
}
