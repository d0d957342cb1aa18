//! Names of a set's parts, one type each so that a die cannot be asked for by a feature's name.

use serde::{Deserialize, Serialize};

macro_rules! name_type {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub String);

        impl $name {
            /// The name as text.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl From<&str> for $name {
            fn from(text: &str) -> Self {
                Self(text.to_owned())
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

name_type!(
    /// A die's short name, unique on its side, as the set's author writes it.
    DieId
);
name_type!(
    /// A feature's short name, unique on its side.
    FeatureId
);
name_type!(
    /// A state's short name, unique in its feature.
    StateId
);
name_type!(
    /// A zone's short name, unique on its side.
    ZoneId
);
name_type!(
    /// A landmark's name, unique on its side, in words that say where it is.
    LandmarkName
);
name_type!(
    /// The short name of a fact asked of the coin, such as its date.
    FactId
);
name_type!(
    /// A rarity band's short name.
    RarityId
);

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
