//! Writing the sheet to a file.

use std::path::PathBuf;

use super::SheetPage;
use super::make::Work;
use crate::app::model::bench::Bench;
use crate::app::model::done::Done;
use crate::files;
use crate::photo::Watch;
use crate::problem::Problem;
use crate::sheet::write_sheet;

/// A sheet to be made of what is on the bench and written, by a worker.
pub struct SheetExport {
    work: Work,
    file: PathBuf,
    watch: Watch,
}

impl SheetExport {
    /// Takes what is on the bench; the page shows that it is being written.
    pub fn begin(state: &mut SheetPage, bench: &mut Bench, file: PathBuf) -> Self {
        let watch = Watch::default();
        state.exporting = Some(watch.clone());
        Self {
            work: Work::of(bench, state.paper, &watch),
            file: with_ending(file),
            watch,
        }
    }

    /// Makes and writes it.
    #[must_use]
    pub fn run(mut self) -> Done {
        let sheet = self.work.sheet();
        let written = (!self.watch.is_cancelled())
            .then(|| write_sheet(&sheet, &self.file, files::Replacing::Ours).map_err(Problem::from));
        Done::SheetWritten(written)
    }
}

/// A name without an ending becomes a PDF.
fn with_ending(file: PathBuf) -> PathBuf {
    if file.extension().is_some() {
        file
    } else {
        file.with_extension("pdf")
    }
}

/// What is said of the files that a sheet was written to.
#[must_use]
pub fn done_words(files: &[PathBuf]) -> String {
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
