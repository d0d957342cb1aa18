//! `sheet`: the annotated attribution sheet.

use std::sync::Arc;

use super::arguments::{PaperWord, WriteSheet};
use super::error::VerbError;
use super::opened::{Shelf, open};
use super::{Exit, Streams};
use crate::evidence::{Prior, standing};
use crate::photo::Picture;
use crate::reference::{DieId, Side};
use crate::sheet::{Paper, Pictures, SheetOptions, compose, gather, write_sheet};
use crate::specimen::OtherSpecimen;

impl Pictures for Shelf<'_> {
    fn photo(&mut self, side: Side) -> Result<Arc<Picture>, String> {
        Shelf::photo(self, side)
    }

    fn plate(&mut self, side: Side, die: &DieId, plate: usize) -> Result<Arc<Picture>, String> {
        Shelf::plate(self, side, die, plate)
    }

    fn other_photo(&mut self, side: Side, other: &OtherSpecimen) -> Result<Arc<Picture>, String> {
        Shelf::other_photo(self, side, other)
    }
}

pub(super) fn write(arguments: &WriteSheet, streams: &mut Streams) -> Result<Exit, VerbError> {
    let opened = open(&arguments.specimen)?;
    streams.notes(opened.notes.iter())?;
    let prior = Prior::from(arguments.prior);
    let (set, record) = (&opened.set, &opened.record);
    let result = standing(set, &record.facts, record.weight_g, &record.verdicts, prior);
    let content = gather(set, record, &result, prior, &mut Shelf::new(&opened));
    let options = SheetOptions {
        paper: match arguments.paper {
            PaperWord::A4 => Paper::A4,
            PaperWord::Letter => Paper::Letter,
        },
        made_on: arguments
            .date
            .unwrap_or_else(|| jiff::Zoned::now().date())
            .to_string(),
    };
    for file in write_sheet(&compose(&content, &options), &arguments.out)? {
        writeln!(streams.out, "{}", file.display())?;
    }
    Ok(Exit::Done)
}
