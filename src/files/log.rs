//! The log: what went wrong without stopping anything, in files of bounded length that the user can look at and hand on.

use std::fs::{File, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, OnceLock};

use ::log::{Level, LevelFilter, Log, Metadata, Record};

use super::names::shown;
use super::read;

/// The name of the log's file; what it held before it grew too long is kept beside it as [`PREVIOUS_FILE`].
const FILE: &str = "log.txt";
/// The name of the file with what came before.
const PREVIOUS_FILE: &str = "log.previous.txt";
/// The most bytes of each of the two files.
const MOST_BYTES: u64 = 500_000;
/// The most characters of one entry.
const MOST_CHARACTERS: usize = 2_000;

/// The log of a folder.
struct FileLog {
    folder: PathBuf,
    // One entry after another; another process's entries are told apart by the system's appending.
    writing: Mutex<()>,
}

static LOG: OnceLock<FileLog> = OnceLock::new();

/// Starts the log in a folder, which is made with the first entry. Later calls change nothing.
pub fn start(folder: &Path) {
    let log = LOG.get_or_init(|| FileLog::at(folder));
    // Fails where it was started before, as it then is the same.
    if ::log::set_logger(log).is_ok() {
        ::log::set_max_level(LevelFilter::Info);
    }
}

/// The log's file; none where it was not started.
#[must_use]
pub fn file() -> Option<PathBuf> {
    LOG.get().map(|log| log.folder.join(FILE))
}

/// What the log holds, oldest first, without the user's name and home folder, so that it can be handed on.
#[must_use]
pub fn for_a_report() -> String {
    let Some(log) = LOG.get() else {
        return String::new();
    };
    Person::of_this_session().removed_from(&log.text())
}

/// An error that stops nothing goes to the log.
pub trait OrLog<T> {
    /// The value; none where there is an error, which the log then holds after the words on what was being done.
    fn or_log(self, doing: &str) -> Option<T>;
}

impl<T, E: std::fmt::Display> OrLog<T> for Result<T, E> {
    fn or_log(self, doing: &str) -> Option<T> {
        self.map_err(|error| ::log::warn!("{doing}: {error}")).ok()
    }
}

impl FileLog {
    fn at(folder: &Path) -> Self {
        Self {
            folder: folder.to_owned(),
            writing: Mutex::new(()),
        }
    }

    fn append(&self, line: &str) -> std::io::Result<()> {
        let _one_at_a_time = self.writing.lock();
        std::fs::create_dir_all(&self.folder)?;
        let file = self.folder.join(FILE);
        if std::fs::metadata(&file).is_ok_and(|facts| facts.len() + line.len() as u64 > MOST_BYTES) {
            std::fs::rename(&file, self.folder.join(PREVIOUS_FILE))?;
        }
        let mut handle: File = OpenOptions::new().create(true).append(true).open(file)?;
        // In one piece, so that entries of several processes do not mix.
        handle.write_all(line.as_bytes())
    }

    fn text(&self) -> String {
        [PREVIOUS_FILE, FILE]
            .iter()
            .filter_map(|name| read(&self.folder.join(name), 2 * MOST_BYTES).ok())
            .map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
            .collect()
    }
}

impl Log for FileLog {
    /// From this program what is worth a note; from the libraries only what went wrong.
    fn enabled(&self, metadata: &Metadata<'_>) -> bool {
        let least = if metadata.target().starts_with("dietell") {
            Level::Info
        } else {
            Level::Warn
        };
        metadata.level() <= least
    }

    fn log(&self, record: &Record<'_>) {
        if !self.enabled(record.metadata()) {
            return;
        }
        let words: String = record
            .args()
            .to_string()
            .chars()
            .take(MOST_CHARACTERS)
            .map(shown)
            .collect();
        let now = jiff::Timestamp::now().strftime("%Y-%m-%d %H:%M:%SZ");
        // A log that cannot be written has nowhere to say so.
        let _ = self.append(&format!(
            "{now} {} {}: {words}\n",
            record.level(),
            record.target()
        ));
    }

    fn flush(&self) {}
}

/// Who uses the program, as far as paths tell it.
struct Person {
    home: Option<PathBuf>,
    names: Vec<String>,
}

impl Person {
    fn of_this_session() -> Self {
        let home = directories::UserDirs::new().map(|dirs| dirs.home_dir().to_owned());
        let of_home = home.as_deref().map(super::file_name);
        let stated = ["USER", "LOGNAME", "USERNAME"]
            .into_iter()
            .filter_map(|name| std::env::var(name).ok());
        Self {
            names: of_home
                .into_iter()
                .chain(stated)
                .filter(|name| !name.is_empty())
                .collect(),
            home,
        }
    }

    /// The home folder becomes `~`; the name, where it stands as a word, `user`.
    fn removed_from(&self, text: &str) -> String {
        let mut text = text.to_owned();
        if let Some(home) = self
            .home
            .as_ref()
            .map(|home| home.display().to_string())
            .filter(|home| home.len() > 1)
        {
            text = replace_words(&text, &home, "~");
        }
        for name in &self.names {
            text = replace_words(&text, name, "user");
        }
        text
    }
}

/// Replaces each appearance that is no part of a longer word.
fn replace_words(text: &str, from: &str, to: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(from) {
        let (before, after) = (&rest[..at], &rest[at + from.len()..]);
        let joined = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
        let whole =
            !joined(before.chars().next_back().or(out.chars().next_back())) && !joined(after.chars().next());
        out.push_str(before);
        out.push_str(if whole { to } else { from });
        rest = after;
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(log: &FileLog, target: &str, level: Level, words: &str) {
        log.log(
            &Record::builder()
                .target(target)
                .level(level)
                .args(format_args!("{words}"))
                .build(),
        );
    }

    #[test]
    fn it_holds_what_went_wrong_one_line_an_entry() {
        let home = tempfile::tempdir().unwrap();
        let log = FileLog::at(&home.path().join("new"));
        entry(
            &log,
            "dietell::a",
            Level::Info,
            "first\nof two \u{202e}lines\u{1b}[2J",
        );
        entry(&log, "winit", Level::Info, "chatter");
        entry(&log, "winit", Level::Warn, "a fault");
        let text = log.text();
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 2, "{text}");
        assert!(
            lines[0].ends_with("INFO dietell::a: first\u{fffd}of two \u{fffd}lines\u{fffd}[2J"),
            "{text}"
        );
        assert!(lines[1].ends_with("WARN winit: a fault"), "{text}");
    }

    #[test]
    fn it_stays_bounded_and_keeps_the_newest() {
        let home = tempfile::tempdir().unwrap();
        let log = FileLog::at(home.path());
        let words = "x".repeat(5_000);
        for number in 0..700 {
            entry(&log, "dietell", Level::Warn, &format!("{number} {words}"));
        }
        let length = |name: &str| std::fs::metadata(home.path().join(name)).unwrap().len();
        assert!(length(FILE) <= MOST_BYTES && length(PREVIOUS_FILE) <= MOST_BYTES);
        assert!(length(FILE) + length(PREVIOUS_FILE) > MOST_BYTES);
        assert!(log.text().contains(" 699 x"));
    }

    #[test]
    fn who_uses_the_program_is_not_in_the_report() {
        let person = Person {
            home: Some(PathBuf::from("/home/mira")),
            names: vec!["mira".to_owned()],
        };
        let text = "/home/mira/Documents/Dietell/a: bad. /media/mira/stick and miracle, admira, /home/miranda/x; mira";
        assert_eq!(
            person.removed_from(text),
            "~/Documents/Dietell/a: bad. /media/user/stick and miracle, admira, /home/miranda/x; user"
        );
    }
}
