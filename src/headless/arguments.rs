//! The command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::evidence::Prior;
use crate::files::Replacing;
use crate::reference::Side;
use crate::specimen::{CannotTell, Ruling};

/// Tell coin dies apart from photographs. Without a verb the window opens.
#[derive(Debug, Parser)]
#[command(name = "dietell", version, about, disable_help_subcommand = true)]
pub(super) struct Arguments {
    #[command(subcommand)]
    pub(super) verb: Option<Verb>,
}

#[derive(Debug, Subcommand)]
pub(super) enum Verb {
    /// Open the window on a specimen
    Open(Open),
    /// Check a reference set; exit code 1 where it has errors
    Check(Check),
    /// Learn how high each landmark stands, from plates and specimens at different tilts
    LearnHeights(LearnHeights),
    /// Pack a set into one file to hand on
    Pack(Pack),
    /// Copy a packed or the built-in set into a new folder, to change it
    Unpack(Unpack),
    /// Merge a set that came back; exit code 1 while a conflict is undecided
    Merge(MergeSets),
    /// Tell how well each feature tells the dies apart
    Features(Features),
    /// Start a specimen from its photos
    New(New),
    /// Report each side's alignment; exit code 1 where a photo cannot be aligned
    Align(Report),
    /// Find the rim in each photo; exit code 1 where it is not found
    FindRim(FindRim),
    /// Write each feature's crop of the coin and of the plates as PNG; exit code 1 where one cannot be had
    Crops(Crops),
    /// Give, change or withdraw a verdict
    Verdict(GiveVerdict),
    /// Answer a fact's question, or give the weight in g
    Fact(GiveFact),
    /// Report what facts and verdicts leave
    Standing(ReportStanding),
    /// Write the annotated attribution sheet
    Sheet(WriteSheet),
    /// Make the demo specimen in a new folder
    Demo(Demo),
}

#[derive(Debug, Args)]
pub(super) struct Open {
    /// The specimen's folder
    #[arg(value_name = "SPECIMEN_DIR")]
    pub(super) specimen: PathBuf,
}

#[derive(Debug, Args)]
pub(super) struct Check {
    /// The set: a folder, a packed file, or demo
    #[arg(value_name = "SET")]
    pub(super) set: PathBuf,
    /// Report as JSON
    #[arg(long)]
    pub(super) json: bool,
}

/// Whether what is there may be replaced.
#[derive(Debug, Clone, Copy, Args)]
pub(super) struct Force {
    /// Replace files that this program did not make, and write into a specimen's or set's folder
    #[arg(long)]
    force: bool,
}

impl From<Force> for Replacing {
    fn from(force: Force) -> Self {
        if force.force { Self::Anything } else { Self::Ours }
    }
}

#[derive(Debug, Args)]
pub(super) struct LearnHeights {
    /// The set: a folder, a packed file, or demo
    #[arg(value_name = "SET")]
    pub(super) set: PathBuf,
    /// Specimens of the set whose landmarks are placed; each at another tilt tells more
    #[arg(value_name = "SPECIMEN_DIR")]
    pub(super) specimens: Vec<PathBuf>,
    /// Keep the heights in the set's folder
    #[arg(long)]
    pub(super) keep: bool,
    /// Report as JSON
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct Pack {
    /// The set: a folder, a packed file, or demo
    #[arg(value_name = "SET")]
    pub(super) set: PathBuf,
    /// The file to write
    #[arg(long, value_name = "FILE.dieset")]
    pub(super) out: PathBuf,
    #[command(flatten)]
    pub(super) force: Force,
}

#[derive(Debug, Args)]
pub(super) struct Unpack {
    /// The set: a packed file, a folder, or demo
    #[arg(value_name = "SET")]
    pub(super) set: PathBuf,
    /// The folder to make: new or empty
    #[arg(value_name = "DIR")]
    pub(super) folder: PathBuf,
}

#[derive(Debug, Args)]
pub(super) struct MergeSets {
    /// The set's folder, which is changed
    #[arg(value_name = "SET_DIR")]
    pub(super) set: PathBuf,
    /// The set that came: a folder, a packed file, or demo
    #[arg(long, value_name = "SET")]
    pub(super) with: PathBuf,
    /// Whose version to take of what both changed
    #[arg(long)]
    pub(super) take: Option<Take>,
    /// Report as JSON
    #[arg(long)]
    pub(super) json: bool,
}

/// Whose version to take.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum Take {
    /// That of the set that is changed
    Mine,
    /// That of the set that came
    Theirs,
}

#[derive(Debug, Args)]
pub(super) struct Features {
    /// The set: a folder, a packed file, or demo
    #[arg(value_name = "SET")]
    pub(super) set: PathBuf,
    /// Report as JSON
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct New {
    /// The folder to make: new or empty
    #[arg(value_name = "SPECIMEN_DIR")]
    pub(super) specimen: PathBuf,
    /// The set: a folder, a packed file, or demo
    #[arg(long, value_name = "SET")]
    pub(super) set: PathBuf,
    /// The photo of the obverse
    #[arg(long, value_name = "FILE", required_unless_present = "reverse")]
    pub(super) obverse: Option<PathBuf>,
    /// The photo of the reverse
    #[arg(long, value_name = "FILE")]
    pub(super) reverse: Option<PathBuf>,
    /// Landmarks: rows of side,name,x_px,y_px in upright photo px
    #[arg(long, value_name = "FILE.csv")]
    pub(super) landmarks: Option<PathBuf>,
    /// What to call the coin; the folder's name otherwise
    #[arg(long, value_name = "TEXT")]
    pub(super) title: Option<String>,
}

/// A report on a specimen.
#[derive(Debug, Args)]
pub(super) struct Report {
    /// The specimen's folder
    #[arg(value_name = "SPECIMEN_DIR")]
    pub(super) specimen: PathBuf,
    /// Report as JSON
    #[arg(long)]
    pub(super) json: bool,
}

#[derive(Debug, Args)]
pub(super) struct FindRim {
    #[command(flatten)]
    pub(super) report: Report,
    /// Keep the rims found in the specimen; one drawn by hand stays
    #[arg(long)]
    pub(super) keep: bool,
}

#[derive(Debug, Args)]
pub(super) struct Crops {
    #[command(flatten)]
    pub(super) report: Report,
    /// The folder to write to; made where it is not there
    #[arg(long, value_name = "DIR")]
    pub(super) out: PathBuf,
    #[command(flatten)]
    pub(super) force: Force,
    /// The scale of every crop in px per mm of the coin
    #[arg(long, value_name = "N")]
    pub(super) px_per_mm: f64,
    /// The share of the zone's size to add on each side
    #[arg(long, value_name = "SHARE", default_value_t = 0.0)]
    pub(super) margin: f64,
    /// Another specimen of the same set, whose crops are written beside
    #[arg(long, value_name = "SPECIMEN_DIR")]
    pub(super) against: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(super) struct GiveVerdict {
    /// The specimen's folder
    #[arg(value_name = "SPECIMEN_DIR")]
    pub(super) specimen: PathBuf,
    /// The side
    #[arg(long)]
    pub(super) side: SideWord,
    /// The feature's name in the set
    #[arg(long)]
    pub(super) feature: String,
    /// The state's name in the feature
    #[arg(long)]
    pub(super) state: String,
    /// agrees, differs, cannot-tell:REASON (worn, damaged, blurred, glare, not-in-photo; cannot-tell alone is worn),
    /// or none to withdraw it
    #[arg(long, value_parser = ruling)]
    pub(super) ruling: RulingWord,
    /// A note kept with it; without one the note given before stays
    #[arg(long, value_name = "TEXT")]
    pub(super) note: Option<String>,
}

#[derive(Debug, Args)]
pub(super) struct GiveFact {
    /// The specimen's folder
    #[arg(value_name = "SPECIMEN_DIR")]
    pub(super) specimen: PathBuf,
    /// The fact's name in the set, or weight
    #[arg(value_name = "NAME")]
    pub(super) name: String,
    /// A value; several that remain possible joined by |; unreadable; or none to withdraw the answer
    #[arg(value_name = "VALUE")]
    pub(super) value: String,
}

#[derive(Debug, Args)]
pub(super) struct ReportStanding {
    #[command(flatten)]
    pub(super) report: Report,
    /// The pairings' weight before any verdict
    #[arg(long, default_value = "equal")]
    pub(super) prior: PriorWord,
}

#[derive(Debug, Args)]
pub(super) struct WriteSheet {
    /// The specimen's folder
    #[arg(value_name = "SPECIMEN_DIR")]
    pub(super) specimen: PathBuf,
    /// The file to write, ending in .pdf or .png
    #[arg(long, value_name = "FILE")]
    pub(super) out: PathBuf,
    #[command(flatten)]
    pub(super) force: Force,
    /// The paper
    #[arg(long, default_value = "a4")]
    pub(super) paper: PaperWord,
    /// The pairings' weight before any verdict
    #[arg(long, default_value = "equal")]
    pub(super) prior: PriorWord,
    /// The date to print, today's otherwise; give one to get the same file again
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub(super) date: Option<jiff::civil::Date>,
}

#[derive(Debug, Args)]
pub(super) struct Demo {
    /// The folder to make: new or empty
    #[arg(value_name = "DIR")]
    pub(super) folder: PathBuf,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum SideWord {
    /// The front
    Obverse,
    /// The back
    Reverse,
}

impl From<SideWord> for Side {
    fn from(word: SideWord) -> Self {
        match word {
            SideWord::Obverse => Side::Obverse,
            SideWord::Reverse => Side::Reverse,
        }
    }
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum PriorWord {
    /// All listed pairings alike
    Equal,
    /// By the set author's estimates of how many exist
    Estimated,
}

impl From<PriorWord> for Prior {
    fn from(word: PriorWord) -> Self {
        match word {
            PriorWord::Equal => Prior::Equal,
            PriorWord::Estimated => Prior::EstimatedKnown,
        }
    }
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(super) enum PaperWord {
    /// 210 x 297 mm
    A4,
    /// 8.5 x 11 in
    Letter,
}

/// A ruling, or none to withdraw it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct RulingWord(pub(super) Option<Ruling>);

/// A reason as it is written on the command line: its words, joined.
pub(super) fn reason_word(reason: CannotTell) -> String {
    match reason {
        CannotTell::NotInPhoto => "not-in-photo".to_owned(),
        other => other.words().replace(' ', "-"),
    }
}

fn ruling(text: &str) -> Result<RulingWord, String> {
    let given = match text.split_once(':') {
        None => match text {
            "agrees" => Some(Ruling::Agrees),
            "differs" => Some(Ruling::Differs),
            "cannot-tell" => Some(Ruling::CannotTell(CannotTell::Wear)),
            "none" => None,
            _ => return Err("give agrees, differs, cannot-tell[:REASON] or none".to_owned()),
        },
        Some(("cannot-tell", word)) => {
            let reason = CannotTell::ALL
                .into_iter()
                .find(|reason| reason_word(*reason) == word);
            let all: Vec<String> = CannotTell::ALL.into_iter().map(reason_word).collect();
            let reason = reason.ok_or_else(|| format!("the reason is one of {}", all.join(", ")))?;
            Some(Ruling::CannotTell(reason))
        }
        Some(_) => return Err("only cannot-tell takes a reason".to_owned()),
    };
    Ok(RulingWord(given))
}
