//! The merging itself, on trees of named values.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use serde_json::{Map, Value};

use super::keys::{self, Match};
use super::{Conflict, MergeError, Taken, Way};
use crate::files::shorten;
use crate::reference::ReferenceSet;

/// One step into a set.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Step {
    /// A field or a key of a map.
    Field(String),
    /// An item of a list by its name, and which of that name, from 0.
    Item(String, usize),
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Step::Field(name) => f.write_str(&shorten(name)),
            Step::Item(name, 0) => f.write_str(&shorten(name)),
            Step::Item(name, again) => write!(f, "{} (number {})", shorten(name), again + 1),
        }
    }
}

/// Which conflicts the user decided for the other's version.
#[derive(Debug, Default)]
pub(super) struct Choices {
    pub theirs: BTreeSet<Way>,
}

pub(super) struct Outcome {
    pub merged: Value,
    pub conflicts: Vec<Conflict>,
    pub taken: Vec<Taken>,
}

pub(super) fn value_of(set: &ReferenceSet) -> Result<Value, MergeError> {
    serde_json::to_value(set).map_err(|error| MergeError::Unusable {
        reason: error.to_string(),
    })
}

pub(super) fn set_of(value: Value) -> Result<ReferenceSet, MergeError> {
    serde_json::from_value(value).map_err(|error| MergeError::Unusable {
        reason: shorten(&error.to_string()),
    })
}

pub(super) fn merge(base: Option<&Value>, mine: &Value, theirs: &Value, choices: &Choices) -> Outcome {
    let mut merger = Merger {
        choices,
        three_way: base.is_some(),
        way: Vec::new(),
        conflicts: Vec::new(),
        taken: Vec::new(),
    };
    let merged = merger.part(base, Some(mine), Some(theirs));
    Outcome {
        merged: merged.unwrap_or_else(|| mine.clone()),
        conflicts: merger.conflicts,
        taken: merger.taken,
    }
}

struct Merger<'a> {
    choices: &'a Choices,
    three_way: bool,
    way: Vec<Step>,
    conflicts: Vec<Conflict>,
    taken: Vec<Taken>,
}

impl Merger<'_> {
    /// One part in its three versions; the result is none where the part is gone.
    fn part(&mut self, base: Option<&Value>, mine: Option<&Value>, theirs: Option<&Value>) -> Option<Value> {
        if mine == theirs {
            return mine.cloned();
        }
        match (mine, theirs) {
            (Some(Value::Object(m)), Some(Value::Object(t))) => {
                return Some(self.object(base.and_then(Value::as_object), m, t));
            }
            (Some(Value::Array(m)), Some(Value::Array(t))) => {
                let how = self.list_kind();
                if how != Match::Whole {
                    return Some(self.list(how, base.and_then(Value::as_array), m, t));
                }
            }
            _ => {}
        }
        if self.three_way {
            if base == theirs {
                return mine.cloned();
            }
            if base == mine {
                return self.take(mine, theirs);
            }
        } else if mine.is_none() {
            // New to us; without a common start nothing says that we removed it.
            return self.take(mine, theirs);
        } else if theirs.is_none() {
            return mine.cloned();
        }
        self.conflict(base, mine, theirs)
    }

    fn take(&mut self, mine: Option<&Value>, theirs: Option<&Value>) -> Option<Value> {
        // An edition is a count of sharings and no news.
        if self.way != [Step::Field("edition".to_owned())] {
            self.taken.push(Taken {
                way: Way(self.way.clone()),
                mine: mine.map(words),
                theirs: theirs.map(words),
            });
        }
        theirs.cloned()
    }

    fn conflict(
        &mut self,
        base: Option<&Value>,
        mine: Option<&Value>,
        theirs: Option<&Value>,
    ) -> Option<Value> {
        if self.way == [Step::Field("edition".to_owned())] {
            // The later edition stands; both are counts that only rise.
            let later = mine.and_then(Value::as_u64).max(theirs.and_then(Value::as_u64));
            return later.map(Value::from);
        }
        let way = Way(self.way.clone());
        let take_theirs = self.choices.theirs.contains(&way);
        self.conflicts.push(Conflict {
            way,
            mine: mine.map(words),
            theirs: theirs.map(words),
            before: base.map(words),
        });
        if take_theirs {
            theirs.cloned()
        } else {
            mine.cloned()
        }
    }

    fn object(
        &mut self,
        base: Option<&Map<String, Value>>,
        mine: &Map<String, Value>,
        theirs: &Map<String, Value>,
    ) -> Value {
        let mut merged = Map::new();
        let new = theirs.keys().filter(|key| !mine.contains_key(*key));
        for key in mine.keys().chain(new) {
            self.way.push(Step::Field(key.clone()));
            let part = self.part(base.and_then(|b| b.get(key)), mine.get(key), theirs.get(key));
            self.way.pop();
            if let Some(part) = part {
                merged.insert(key.clone(), part);
            }
        }
        Value::Object(merged)
    }

    fn list(&mut self, how: Match, base: Option<&Vec<Value>>, mine: &[Value], theirs: &[Value]) -> Value {
        let base = base.map(|list| named(list, how)).unwrap_or_default();
        let (mine, theirs) = (named(mine, how), named(theirs, how));
        let (in_base, in_mine, in_theirs) = (by_name(&base), by_name(&mine), by_name(&theirs));
        let new = theirs.iter().filter(|(name, _)| !in_mine.contains_key(name));
        let mut merged = Vec::new();
        for (name, _) in mine.iter().chain(new) {
            self.way.push(name.clone());
            let part = self.part(
                in_base.get(name).copied(),
                in_mine.get(name).copied(),
                in_theirs.get(name).copied(),
            );
            self.way.pop();
            merged.extend(part);
        }
        Value::Array(merged)
    }

    /// How the list at hand is matched, by the field that it stands under. The facts of a pairing are lists of words
    /// under the fact's own name.
    fn list_kind(&self) -> Match {
        match self.way.as_slice() {
            [.., Step::Field(map), Step::Field(_)] if map == "facts" => Match::Itself,
            [.., Step::Field(field)] => keys::of_list(field),
            _ => Match::Whole,
        }
    }
}

/// The items of a list with their names; the second of a name is told from the first.
fn named(list: &[Value], how: Match) -> Vec<(Step, &Value)> {
    let mut seen = BTreeMap::<String, usize>::new();
    list.iter()
        .map(|item| {
            let name = keys::name_of(item, how).unwrap_or_default();
            let again = seen.entry(name.clone()).or_default();
            let step = Step::Item(name, *again);
            *again += 1;
            (step, item)
        })
        .collect()
}

fn by_name<'a>(list: &'a [(Step, &'a Value)]) -> BTreeMap<&'a Step, &'a Value> {
    list.iter().map(|(name, item)| (name, *item)).collect()
}

/// A part in words short enough to read side by side.
fn words(value: &Value) -> String {
    /// Enough for a sentence or two.
    const MOST_CHARACTERS: usize = 400;
    let mut text = String::new();
    put_words(value, MOST_CHARACTERS, &mut text);
    if text.is_empty() {
        text.push_str("nothing");
    }
    if text.chars().nth(MOST_CHARACTERS).is_some() {
        let mut short: String = text.chars().take(MOST_CHARACTERS).collect();
        short.push('\u{2026}');
        return short;
    }
    text
}

/// Writes a value for a reader: what is empty is left out, and names stand before what they name. Stops soon after
/// `most` bytes.
fn put_words(value: &Value, most: usize, text: &mut String) {
    let is_empty = |value: &Value| match value {
        Value::Null => true,
        Value::String(text) => text.is_empty(),
        Value::Array(items) => items.is_empty(),
        Value::Object(fields) => fields.is_empty(),
        Value::Bool(_) | Value::Number(_) => false,
    };
    let put_part = |name: Option<&str>, value: &Value, text: &mut String| {
        if let Some(name) = name {
            text.push_str(name);
            text.push(' ');
        }
        let nested = value.is_object() || value.as_array().is_some_and(|items| items.len() > 1);
        text.push_str(if nested { "(" } else { "" });
        put_words(value, most, text);
        text.push_str(if nested { ")" } else { "" });
    };
    let parts: Vec<(Option<&str>, &Value)> = match value {
        Value::Null => return,
        Value::String(words) => return text.push_str(words),
        Value::Bool(_) | Value::Number(_) => return text.push_str(&value.to_string()),
        Value::Array(items) => items.iter().map(|item| (None, item)).collect(),
        Value::Object(fields) => fields
            .iter()
            .map(|(name, field)| (Some(name.as_str()), field))
            .collect(),
    };
    for (i, (name, part)) in parts.into_iter().filter(|(_, part)| !is_empty(part)).enumerate() {
        if text.len() > most * 4 {
            return;
        }
        text.push_str(if i > 0 { ", " } else { "" });
        put_part(name, part, text);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_is_told_without_what_is_empty() {
        let die = serde_json::json!({
            "id": "O2", "note": "", "shows": {},
            "plates": [{"file": "plates/a.jpg", "landmarks": {"spout tip": [1.5, 2.0]}, "rights": ""}],
        });
        assert_eq!(
            words(&die),
            "id O2, plates (file plates/a.jpg, landmarks (spout tip (1.5, 2.0)))"
        );
        assert_eq!(words(&Value::String("as it is".to_owned())), "as it is");
        assert_eq!(words(&serde_json::json!({"note": ""})), "nothing");
        let long = serde_json::json!(vec!["word"; 100_000]);
        assert!(words(&long).chars().count() <= 401);
    }
}
