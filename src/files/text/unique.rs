//! Maps in which a key may stand once only.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::marker::PhantomData;

use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};

/// Reads a map and refuses a key that stands twice, which the standard map would silently settle by the last.
///
/// # Errors
/// The deserializer's, and a message that names the doubled key.
pub fn unique_keys<'de, D, K, V>(deserializer: D) -> Result<BTreeMap<K, V>, D::Error>
where
    D: Deserializer<'de>,
    K: Deserialize<'de> + Ord + Display,
    V: Deserialize<'de>,
{
    deserializer.deserialize_map(UniqueKeys(PhantomData))
}

struct UniqueKeys<K, V>(PhantomData<(K, V)>);

impl<'de, K, V> Visitor<'de> for UniqueKeys<K, V>
where
    K: Deserialize<'de> + Ord + Display,
    V: Deserialize<'de>,
{
    type Value = BTreeMap<K, V>;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a map in curly brackets")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut access: A) -> Result<Self::Value, A::Error> {
        let mut map = BTreeMap::new();
        while let Some(key) = access.next_key::<K>()? {
            if map.contains_key(&key) {
                let name = crate::files::shorten(&key.to_string());
                return Err(A::Error::custom(format_args!(
                    "\u{201c}{name}\u{201d} stands here twice: keep one of them"
                )));
            }
            let value = access.next_value()?;
            map.insert(key, value);
        }
        Ok(map)
    }
}
