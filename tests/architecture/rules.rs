//! The rules that the sources keep.

use std::fmt;

use super::source::Source;

/// A place where a rule is broken.
#[derive(Debug)]
pub struct Breach {
    path: String,
    line: usize,
    what: String,
}

impl fmt::Display for Breach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "src/{}:{}: {}", self.path, self.line, self.what)
    }
}

fn breach(source: &Source, place: usize, what: String) -> Breach {
    let line = source.code[..place].matches('\n').count() + 1;
    Breach {
        path: source.path.clone(),
        line,
        what,
    }
}

/// Rooms downstream of the source's own that it names.
pub fn upstream(source: &Source, order: &[String]) -> Vec<Breach> {
    let Some(own) = source
        .room()
        .and_then(|room| order.iter().position(|known| known == room))
    else {
        return Vec::new();
    };
    let mut breaches = Vec::new();
    for prefix in ["crate::", "dietell::"] {
        for (place, _) in source.code.match_indices(prefix) {
            for name in first_names(&source.code[place + prefix.len()..]) {
                if order
                    .iter()
                    .position(|known| known == name)
                    .is_some_and(|other| other > own)
                {
                    let what = format!("{} is upstream of {name}", order[own]);
                    breaches.push(breach(source, place, what));
                }
            }
        }
    }
    breaches
}

/// The names that a path goes on with: one, or those on the first level of `{…}`.
fn first_names(rest: &str) -> Vec<&str> {
    let name = |text: &str| {
        text.find(|c: char| !c.is_alphanumeric() && c != '_')
            .unwrap_or(text.len())
    };
    let rest = rest.trim_start();
    let Some(group) = rest.strip_prefix('{') else {
        return vec![&rest[..name(rest)]];
    };
    let mut names = Vec::new();
    let (mut depth, mut start) = (0, 0);
    for (place, c) in group.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth > 0 => depth -= 1,
            ',' | '}' if depth == 0 => {
                let part = group[start..place].trim_start();
                names.push(&part[..name(part)]);
                start = place + 1;
                if c == '}' {
                    break;
                }
            }
            _ => {}
        }
    }
    names
}

/// What draws a window or opens a dialog, named outside of the window's room.
pub fn drawing(source: &Source) -> Vec<Breach> {
    if source.room() == Some("app") {
        return Vec::new();
    }
    ["egui", "eframe", "egui_extras", "rfd"]
        .iter()
        .flat_map(|name| words(source, name).map(move |place| breach(source, place, format!("names {name}"))))
        .collect()
}

/// The word `unsafe` in code.
pub fn unsafe_code(source: &Source) -> Vec<Breach> {
    words(source, "unsafe")
        .map(|place| breach(source, place, "is unsafe".into()))
        .collect()
}

/// Files whose giving up is on what the program itself made, each with its reason.
const MAY_GIVE_UP: [(&str, &str); 1] = [("sheet/text.rs", "the fonts are part of the program")];

/// What ends the program at once, outside of tests.
pub fn giving_up(source: &Source) -> Vec<Breach> {
    if MAY_GIVE_UP.iter().any(|(path, _)| source.path == *path) {
        return Vec::new();
    }
    [".unwrap()", ".expect(", "panic!(", "todo!(", "unimplemented!("]
        .iter()
        .flat_map(|call| {
            let places = source.code.match_indices(call);
            places.map(move |(place, _)| breach(source, place, format!("gives up by {call}")))
        })
        .collect()
}

/// The most lines of a function, from `fn` to its closing brace: what fits on a screen and in a head.
pub const MOST_LINES: usize = 60;

/// A function and its length.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Function {
    /// Its file's path under `src`.
    pub path: String,
    /// Its name.
    pub name: String,
    /// Its lines, from `fn` to its closing brace.
    pub lines: usize,
}

/// The functions of a file that have more lines than one can read at a glance.
pub fn long_functions(source: &Source) -> Vec<Function> {
    let functions = words(source, "fn").filter_map(|at| {
        let rest = source.code[at + 2..].trim_start();
        let name = &rest[..rest.find(|c: char| !c.is_alphanumeric() && c != '_')?];
        let end = body_end(&source.code[at..])?;
        let lines = source.code[at..at + end].lines().count();
        Some(Function {
            path: source.path.clone(),
            name: name.to_owned(),
            lines,
        })
    });
    functions
        .filter(|function| !function.name.is_empty() && function.lines > MOST_LINES)
        .collect()
}

/// Where the body of a function ends that begins at the code's start; none for one without a body.
fn body_end(code: &str) -> Option<usize> {
    let mut depth = 0;
    for (at, c) in code.char_indices() {
        match c {
            // The `;` of an array's type stands inside brackets.
            '[' | '(' | '{' => depth += 1,
            ']' | ')' | '}' => depth -= 1,
            ';' if depth == 0 => return None,
            _ => {}
        }
        if c == '}' && depth == 0 {
            return Some(at + 1);
        }
    }
    None
}

/// `f64::max` and its kin handed to a fold, which drop a NaN without a word.
pub fn drops_nan(source: &Source) -> Vec<Breach> {
    ["f64::max", "f64::min", "f32::max", "f32::min"]
        .iter()
        .flat_map(|name| words(source, name).map(move |at| (name, at)))
        .filter(|(name, at)| !source.code[at + name.len()..].starts_with('('))
        .map(|(name, at)| breach(source, at, format!("compares by {name}, which a NaN passes")))
        .collect()
}

/// Where a word stands in the code.
fn words<'a>(source: &'a Source, word: &'a str) -> impl Iterator<Item = usize> + 'a {
    let joins = |c: char| c.is_alphanumeric() || c == '_';
    source
        .code
        .match_indices(word)
        .map(|(place, _)| place)
        .filter(move |&place| {
            let before = source.code[..place].chars().next_back();
            let after = source.code[place + word.len()..].chars().next();
            !before.is_some_and(joins) && !after.is_some_and(joins)
        })
}
