//! By what the items of a set's lists are known again.

use serde_json::Value;

/// How the items of a list are matched between two versions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Match {
    /// By these fields together.
    Fields(&'static [&'static str]),
    /// By themselves: a list of words whose order does not matter.
    Itself,
    /// Not at all: the list is one value, such as a point.
    Whole,
}

/// How the list under a field is matched.
pub(super) fn of_list(field: &str) -> Match {
    match field {
        "facts" | "zones" | "features" | "states" | "dies" | "rarity_bands" => Match::Fields(&["id"]),
        "choices" => Match::Fields(&["value"]),
        "landmarks" => Match::Fields(&["name"]),
        "plates" => Match::Fields(&["file"]),
        // Catalogue numbers may be corrected; the dies make the pairing.
        "pairings" => Match::Fields(&["obverse", "reverse"]),
        "cautions" => Match::Itself,
        _ => Match::Whole,
    }
}

/// The name by which an item is known again; none for one that has not the fields.
pub(super) fn name_of(item: &Value, how: Match) -> Option<String> {
    match how {
        Match::Fields(fields) => {
            let words: Option<Vec<&str>> = fields.iter().map(|field| item.get(field)?.as_str()).collect();
            Some(words?.join(" with "))
        }
        Match::Itself => item.as_str().map(str::to_owned),
        Match::Whole => None,
    }
}
