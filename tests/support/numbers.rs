//! Numbers compared so that a NaN fails: `f64::max` and `f64::min` drop it without a word, and the test would pass.
#![allow(dead_code, reason = "each test binary uses a part")]

/// The greatest of some values.
///
/// # Panics
/// On a NaN among them, and where there are none: a bound on nothing holds always.
pub fn greatest(values: impl IntoIterator<Item = f64>) -> f64 {
    pick(values, f64::max)
}

/// The least of some values.
///
/// # Panics
/// As [`greatest`].
pub fn least(values: impl IntoIterator<Item = f64>) -> f64 {
    pick(values, f64::min)
}

fn pick(values: impl IntoIterator<Item = f64>, of: fn(f64, f64) -> f64) -> f64 {
    let known = |value: f64| {
        assert!(!value.is_nan(), "a value to compare is not a number");
        value
    };
    let found = values.into_iter().map(known).reduce(of);
    found.expect("there are values to compare")
}
