//! The attribution sheet: layout, PDF read back with poppler, PNG against PDF, saving.
//!
//! Tests that read a PDF back need poppler-utils (`pdfinfo`, `pdftotext`, `pdftoppm`); where those are absent they say
//! that they skip, and fail in CI. `DIETELL_SHEET_OUT=folder` keeps the example sheet for a look.
#![allow(clippy::unwrap_used, reason = "a test may stop at what it did not expect")]

#[path = "support/absent.rs"]
mod absent;
#[path = "sheet/demo.rs"]
mod demo;
#[path = "sheet/gathered.rs"]
mod gathered;
#[path = "sheet/layout.rs"]
mod layout;
#[path = "support/numbers.rs"]
mod numbers;
#[path = "sheet/paper.rs"]
mod paper;
#[path = "sheet/saving.rs"]
mod saving;
#[path = "sheet/synthetic.rs"]
mod synthetic;

use dietell::sheet::{Paper, SheetOptions};

fn options(paper: Paper) -> SheetOptions {
    SheetOptions {
        paper,
        made_on: "2026-01-31".to_owned(),
    }
}
