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
