//! Parts of a set in words.

/// A part of the set in words: its kind before its name, but not twice where the name itself begins with its kind, as
/// the names that new parts are given do: "zone lip", but "zone 1".
#[must_use]
pub fn named(kind: &str, name: impl std::fmt::Display) -> String {
    let name = name.to_string();
    let says_it = name
        .get(..kind.len())
        .is_some_and(|start| start.eq_ignore_ascii_case(kind))
        && name[kind.len()..]
            .chars()
            .next()
            .is_some_and(|next| !next.is_alphabetic());
    if says_it { name } else { format!("{kind} {name}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::ZoneId;

    #[test]
    fn a_kind_is_not_said_twice() {
        assert_eq!(named("zone", ZoneId::from("zone 1")), "zone 1");
        assert_eq!(named("landmark", "Landmark 12"), "Landmark 12");
        assert_eq!(named("zone", "lip"), "zone lip");
        // A name that goes on is another word, and one that is the bare kind says nothing of its own.
        assert_eq!(named("zone", "zones of wear"), "zone zones of wear");
        assert_eq!(named("zone", "zone"), "zone zone");
        assert_eq!(named("die", "dié"), "die dié");
    }
}
