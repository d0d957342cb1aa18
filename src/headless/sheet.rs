//! `sheet`: the annotated attribution sheet.

use super::arguments::{PaperWord, WriteSheet};
use super::error::VerbError;
use super::{Exit, Streams, open_specimen};
use crate::photo::Watch;
use crate::pipeline::{PictureCache, Study};
use crate::sheet::{Paper, SheetOptions, compose, gather, write_sheet};

pub(super) fn write(arguments: &WriteSheet, streams: &mut Streams) -> Result<Exit, VerbError> {
    let opened = open_specimen(&arguments.specimen, streams)?;
    let album = opened.album(&PictureCache::default().into());
    let study = Study::new(&opened.set, &opened.record, arguments.prior.into(), &album);
    let content = gather(&study, &Watch::default());
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
    for file in write_sheet(
        &compose(&content, &options),
        &arguments.out,
        arguments.force.into(),
    )? {
        writeln!(streams.out, "{}", file.display())?;
    }
    Ok(Exit::Done)
}
