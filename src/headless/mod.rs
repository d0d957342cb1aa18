//! The program's verbs without a window, for scripts and tests: each calls the rooms that the window calls.
//!
//! # Verbs
//!
//! | verb | does |
//! |---|---|
//! | `dietell` | opens the window |
//! | `dietell open SPECIMEN_DIR` | opens the window on a specimen |
//! | `dietell check SET [--json]` | validates a reference set and its plates |
//! | `dietell learn-heights SET [SPECIMEN_DIR...] [--keep] [--json]` | learns how high each landmark stands; `--keep` writes it into the set |
//! | `dietell pack SET --out FILE.dieset` | packs a set into one file to hand on |
//! | `dietell unpack SET DIR` | copies a packed or the built-in set into a new folder, to change it |
//! | `dietell merge SET_DIR --with SET [--take mine\|theirs] [--json]` | merges a set that came back; writes nothing while a conflict is undecided |
//! | `dietell features SET [--json]` | tells how well each feature tells the dies apart, and which to look at |
//! | `dietell new SPECIMEN_DIR --set SET [--obverse FILE] [--reverse FILE] [--landmarks FILE.csv] [--title TEXT]` | starts a specimen |
//! | `dietell align SPECIMEN_DIR [--json]` | reports each side's alignment |
//! | `dietell find-rim SPECIMEN_DIR [--keep] [--json]` | finds the coin's outer edge in each photo |
//! | `dietell crops SPECIMEN_DIR --out DIR --px-per-mm N [--margin SHARE] [--against SPECIMEN_DIR] [--json]` | writes the zones' crops as PNG |
//! | `dietell verdict SPECIMEN_DIR --side S --feature F --state S --ruling R [--note TEXT]` | gives, changes or withdraws a verdict |
//! | `dietell fact SPECIMEN_DIR NAME VALUE` | answers a fact's question, or gives the weight |
//! | `dietell standing SPECIMEN_DIR [--prior equal\|estimated] [--json]` | reports what is left |
//! | `dietell sheet SPECIMEN_DIR --out FILE.pdf\|.png [--paper a4\|letter] [--prior equal\|estimated] [--date YYYY-MM-DD]` | writes the sheet |
//! | `dietell demo DIR` | makes the demo specimen |
//!
//! A SET is a folder with `set.ron`, a packed set, or the word `demo`. A ruling is `agrees`, `differs`,
//! `cannot-tell:REASON` with a reason of `worn`, `damaged`, `blurred`, `glare` or `not-in-photo`, or `none` to withdraw
//! the verdict. A fact's VALUE is one of the set's choices, several of them joined by `|` where each remains possible,
//! `unreadable`, or `none` to withdraw the answer; `weight` takes grams.
//!
//! A landmarks table is a CSV file in UTF-8 with rows of `side,name,x_px,y_px`, in upright photo px (the centre of the
//! top-left pixel is 0, 0); a first row of these names is passed over. A duplicate, an unknown name, a number that is
//! not finite or lies outside the photo is refused with line and column, before anything is written.
//!
//! # Exit codes and error lines
//!
//! See [`Exit`]. An error is one line on the error stream, `dietell: ` and a sentence; what the user should know
//! besides is `dietell: note: ` and a sentence. Reports go to the standard output.
//!
//! # JSON reports
//!
//! One object, indented, with these keys; further keys may join them and none is taken away. `set` is everywhere
//! `{id, edition, title}`, a missing value is `null`, points are `[x, y]`, and side mm are right and down from the
//! rim's centre.
//!
//! - `check`: `set` (as given), `id`, `edition`, `title`, `counts {obverse_dies, reverse_dies, obverse_features,
//!   reverse_features, pairings}`, `errors`, `warnings`, `hints`, `findings [{severity, place, sentence, remedy}]`.
//! - `learn-heights`: `set {id, edition, title}`, `written`, `landmarks [{side, landmark, height_mm, deviation_mm}]`.
//! - `merge`: `set`, `common_start` (whether the edition that both started from is known), `written`, `taken` and
//!   `conflicts` `[{place, mine, theirs}]` where `null` is 'not there', `pictures` copied.
//! - `features`: `set`, `sides [{side, features [{feature, question, bits, pairs_told}], series, series_is_shortest,
//!   undecided_pairs}]`; `bits` is what one look tells of the die on average, `series` a short list that decides every
//!   pair of dies as far as all features together do.
//! - `align`: `specimen`, `set`, `sides [{side, photo {file, width_px, height_px}, alignment, problem}]`; exactly one
//!   of `alignment` and `problem` is there. An alignment is `{model, held, photo_from_side, noise_px, landmarks,
//!   zones, advice}`: `model` is `similarity`, `affine` or `homography`; `photo_from_side` the 3 x 3 matrix, row by
//!   row, from side mm to upright photo px; `noise_px` the landmarks' deviation a coordinate; `landmarks [{name,
//!   residual_px, residual_mm, left_out_px, disagrees}]` marked minus fitted; `zones [{zone, title, px_per_mm,
//!   uncertainty_mm, uncertainty_with_plates_mm, telling_detail_mm, fine_shift_mm}]` with 95 % radii by the photo
//!   alone and together with the least certain plate; `advice` sentences.
//! - `find-rim`: `specimen`, `set`, `sides [{side, rim {centre_px, long_px, short_px, turn_deg, support, scatter},
//!   problem, kept}]`: half axes in px, the longer one's turn clockwise from the picture's x axis, `support` the share
//!   of the edge that is seen, `scatter` the edge's deviation as a share of the radius.
//! - `crops`: `specimen`, `set`, `out`, `px_per_mm`, `crops [{file, side, feature, zone, shows, state, die, plate,
//!   centre_mm, size_mm, width_px, height_px, uncertainty_mm}]` where `shows` is `coin`, `plate` or `other-coin`, `plate`
//!   counts from 1 and `uncertainty_mm` is the 95 % radius of the coin alone, or together with the plate or the other
//!   coin; `missing [{side, feature, shows, state, reason}]`, where a `state` of `null` is a coin.
//! - `standing`: `specimen`, `set`, `prior`, `verdicts` (how many), `outcome {kind, headline, explanation, catalogue,
//!   obverse, reverse, rarity {band, meaning}, sides, possible}` with a kind of `settled`, `leaning`, `open`,
//!   `contradicted`, `unlisted` or `beyond-telling`, `ratio {log10, words, scale}`, `obverse` and `reverse` `[{die,
//!   probability, log10_likelihood, supporting, out, doubts}]`, `pairings [{catalogue, obverse, reverse, probability,
//!   log10_likelihood, out}]`, `open_world {pairing, obverse_die, reverse_die, both_dies}` with the probabilities of what
//!   the set does not list, `next [{side, feature, gain_bits}]`, `recheck [{side, feature, fact, restores, dies}]`,
//!   `cautions`, `opinion`. `out` holds sentences and is empty for what is in; `doubts` what speaks against a die that
//!   is in, as a slip may.

mod align;
mod arguments;
mod check;
mod crops;
mod error;
mod exit;
mod judge;
mod learn_heights;
mod new;
mod rim;
mod share;
mod sheet;
mod standing;

use std::ffi::OsString;
use std::io::Write;
use std::path::Path;

use clap::Parser;
use serde_json::{Value, json};

use crate::files;
use crate::files::log::OrLog;
use crate::pipeline::{self, OpenedSpecimen};
use crate::reference::ReferenceSet;
use arguments::{Arguments, Verb};
use error::VerbError;

pub use exit::Exit;

/// Where a verb writes.
struct Streams<'a> {
    out: &'a mut dyn Write,
    err: &'a mut dyn Write,
}

impl Streams<'_> {
    /// Writes what the user should know, one sentence a line.
    fn notes(&mut self, notes: impl Iterator<Item = impl ToString>) -> Result<(), VerbError> {
        for note in notes {
            writeln!(self.err, "dietell: note: {}", one_line(&note.to_string()))?;
        }
        Ok(())
    }

    fn json(&mut self, report: &Value) -> Result<(), VerbError> {
        let text = serde_json::to_string_pretty(report).map_err(std::io::Error::from)?;
        // What a terminal would obey is written as JSON's own escapes, so that programs get it as it is.
        let text: String = text.chars().fold(String::new(), |mut text, c| {
            if c == '\n' || files::shown(c) == c {
                text.push(c);
            } else {
                text.push_str(&format!("\\u{:04x}", u32::from(c)));
            }
            text
        });
        writeln!(self.out, "{text}")?;
        Ok(())
    }
}

/// What is written to the user, without what a terminal would obey: titles, names and notes come from files of
/// strangers. Line ends stay.
struct Shown<'a>(&'a mut dyn Write);

impl Write for Shown<'_> {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        // Text is formatted in whole pieces, so that no character is cut.
        let text = String::from_utf8_lossy(bytes);
        let shown = text.chars().map(|c| if c == '\n' { c } else { files::shown(c) });
        self.0.write_all(shown.collect::<String>().as_bytes())?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        self.0.flush()
    }
}

/// Which set a report is about.
fn set_report(set: &ReferenceSet) -> Value {
    json!({ "id": set.id, "edition": set.edition, "title": set.title })
}

/// Opens a specimen with its set, and tells what the user should know of it.
fn open_specimen(folder: &Path, streams: &mut Streams) -> Result<OpenedSpecimen, VerbError> {
    let opened = pipeline::open_specimen(folder)?;
    streams.notes(opened.notes.iter())?;
    Ok(opened)
}

/// Runs the program: `arguments` are those after the program's name. Reports go to `out`, errors and notes to `err`.
/// Without a verb the window opens and the call returns when it is closed.
pub fn run(
    arguments: impl IntoIterator<Item = impl Into<OsString>>,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Exit {
    let named = [OsString::from("dietell")]
        .into_iter()
        .chain(arguments.into_iter().map(Into::into));
    let arguments = match Arguments::try_parse_from(named) {
        Ok(arguments) => arguments,
        Err(error) => return usage(&error, out, &mut Shown(err)),
    };
    let (mut out, mut err) = (Shown(out), Shown(err));
    let mut streams = Streams {
        out: &mut out,
        err: &mut err,
    };
    match obey(arguments, &mut streams) {
        Ok(exit) => exit,
        // Whoever reads the report has read enough.
        Err(VerbError::Report(error) | VerbError::ReportAfter(error, _))
            if error.kind() == std::io::ErrorKind::BrokenPipe =>
        {
            Exit::Done
        }
        Err(error) => {
            ::log::warn!("{error}");
            writeln!(streams.err, "dietell: {}", one_line(&error.to_string())).or_log("Telling of an error");
            error.exit()
        }
    }
}

fn obey(arguments: Arguments, streams: &mut Streams) -> Result<Exit, VerbError> {
    match arguments.verb {
        None => {
            crate::app::run(None)?;
            Ok(Exit::Done)
        }
        Some(Verb::Open(given)) => {
            crate::app::run(Some(given.specimen))?;
            Ok(Exit::Done)
        }
        Some(Verb::Check(given)) => check::check(&given, streams),
        Some(Verb::LearnHeights(given)) => learn_heights::learn(&given, streams),
        Some(Verb::Pack(given)) => share::pack(&given, streams),
        Some(Verb::Unpack(given)) => share::unpack(&given, streams),
        Some(Verb::Merge(given)) => share::merge(&given, streams),
        Some(Verb::Features(given)) => share::features(&given, streams),
        Some(Verb::New(given)) => new::new(&given, streams),
        Some(Verb::Align(given)) => align::align(&given, streams),
        Some(Verb::FindRim(given)) => rim::find(&given, streams),
        Some(Verb::Crops(given)) => crops::crops(&given, streams),
        Some(Verb::Verdict(given)) => judge::verdict(&given, streams),
        Some(Verb::Fact(given)) => judge::fact(&given, streams),
        Some(Verb::Standing(given)) => standing::report(&given, streams),
        Some(Verb::Sheet(given)) => sheet::write(&given, streams),
        Some(Verb::Demo(given)) => new::demo(&given, streams),
    }
}

/// Help and version go to the report; anything else is one line.
fn usage(error: &clap::Error, out: &mut dyn Write, err: &mut dyn Write) -> Exit {
    use clap::error::ErrorKind;
    if matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) {
        return match write!(out, "{error}") {
            Ok(()) => Exit::Done,
            Err(_) => Exit::Unwritable,
        };
    }
    let text = error.to_string();
    let message: Vec<&str> = text
        .lines()
        .take_while(|line| !line.starts_with("Usage:"))
        .map(|line| line.trim().trim_start_matches("error: "))
        .filter(|line| !line.is_empty() && !line.starts_with("For more information"))
        .collect();
    writeln!(
        err,
        "dietell: {}; see dietell --help",
        one_line(&message.join(" "))
    )
    .or_log("Telling of an error");
    Exit::Usage
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
