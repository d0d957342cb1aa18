//! A source file with what is no code taken out.

use std::fs;
use std::path::Path;

/// A source file of the program.
pub struct Source {
    /// Its path under `src`, with `/` between the parts.
    pub path: String,
    /// Its code, line for line: comments, texts and test modules are blanked.
    pub code: String,
}

impl Source {
    pub fn new(path: &str, text: &str) -> Self {
        Self {
            path: path.to_owned(),
            code: without_tests(&bare(text)),
        }
    }

    /// The same source with its path under another folder, relative to `src`.
    pub fn under(mut self, folder: &str) -> Self {
        self.path = format!("{folder}/{}", self.path);
        self
    }

    /// The room it belongs to; none for files outside of rooms, such as `main.rs`.
    pub fn room(&self) -> Option<&str> {
        self.path
            .split_once('/')
            .map(|(room, _)| room)
            .filter(|room| *room != "..")
    }
}

/// All sources under a folder, by path.
pub fn sources(folder: &Path) -> Vec<Source> {
    let mut found = Vec::new();
    gather(folder, folder, &mut found);
    found.sort_by(|a, b| a.path.cmp(&b.path));
    found
}

fn gather(root: &Path, folder: &Path, found: &mut Vec<Source>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            gather(root, &path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            let name = path
                .strip_prefix(root)
                .unwrap()
                .to_string_lossy()
                .replace('\\', "/");
            found.push(Source::new(&name, &fs::read_to_string(&path).unwrap()));
        }
    }
}

/// The rooms in the order in which `lib.rs` lists them.
pub fn rooms(lib: &Path) -> Vec<String> {
    let text = fs::read_to_string(lib).unwrap();
    let names = text
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';'));
    names.map(str::to_owned).collect()
}

/// The text with comments and the insides of texts and characters blanked; lines stay where they are.
fn bare(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    let starts = |at: usize, what: &str| {
        what.chars()
            .enumerate()
            .all(|(i, c)| chars.get(at + i) == Some(&c))
    };
    while at < chars.len() {
        let end = if starts(at, "//") {
            (at..chars.len())
                .find(|&i| chars[i] == '\n')
                .unwrap_or(chars.len())
        } else if starts(at, "/*") {
            (at + 2..chars.len())
                .find(|&i| starts(i, "*/"))
                .map_or(chars.len(), |i| i + 2)
        } else if let Some(hashes) = raw_text(&chars, at) {
            let close = format!("\"{}", "#".repeat(hashes));
            let from = at + hashes + 2;
            (from..chars.len())
                .find(|&i| starts(i, &close))
                .map_or(chars.len(), |i| i + close.len())
        } else if chars[at] == '"' {
            text_end(&chars, at)
        } else if chars[at] == '\'' && (starts(at + 1, "\\") || chars.get(at + 2) == Some(&'\'')) {
            (at + 2..chars.len())
                .find(|&i| chars[i] == '\'' && i > at + 1)
                .map_or(chars.len(), |i| i + 1)
        } else {
            out.push(chars[at]);
            at += 1;
            continue;
        };
        out.extend(chars[at..end].iter().map(|&c| if c == '\n' { '\n' } else { ' ' }));
        at = end;
    }
    out
}

/// The number of hashes where a raw text such as `r#"` starts.
fn raw_text(chars: &[char], at: usize) -> Option<usize> {
    let inside_name =
        at > 0 && (chars[at - 1].is_alphanumeric() || chars[at - 1] == '_') && chars[at - 1] != 'b';
    if chars[at] != 'r' || inside_name {
        return None;
    }
    let hashes = chars[at + 1..].iter().take_while(|&&c| c == '#').count();
    (chars.get(at + 1 + hashes) == Some(&'"')).then_some(hashes)
}

fn text_end(chars: &[char], start: usize) -> usize {
    let mut at = start + 1;
    while at < chars.len() && chars[at] != '"' {
        at += if chars[at] == '\\' { 2 } else { 1 };
    }
    (at + 1).min(chars.len())
}

/// Blanks the items that only tests see.
fn without_tests(code: &str) -> String {
    const MARKS: [&str; 2] = ["#[cfg(test)]", "#[cfg(all(test, unix))]"];
    let mut out = code.to_owned();
    while let Some((start, mark)) = MARKS.iter().find_map(|mark| Some((out.find(mark)?, mark))) {
        let mut depth = 0;
        let mut end = out.len();
        for (place, c) in out[start + mark.len()..].char_indices() {
            match c {
                '{' => depth += 1,
                '}' => depth -= 1,
                _ => {}
            }
            if (c == '}' || c == ';') && depth == 0 {
                end = start + mark.len() + place + 1;
                break;
            }
        }
        let blank: String = out[start..end]
            .chars()
            .map(|c| if c == '\n' { '\n' } else { ' ' })
            .collect();
        out.replace_range(start..end, &blank);
    }
    out
}
