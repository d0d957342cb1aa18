//! The length of a scale bar.

/// The greatest round length, 1, 2 or 5 times a power of ten, that is no longer than `longest_mm`; none where that is
/// not a positive number.
#[must_use]
pub fn scale_bar_mm(longest_mm: f64) -> Option<f64> {
    if !longest_mm.is_finite() || longest_mm <= 0.0 {
        return None;
    }
    let decade = 10f64.powf(longest_mm.log10().floor());
    // A hair's breadth, so that 0.2 is found for 0.2.
    let fits = |times: &f64| times * decade <= longest_mm * (1.0 + 1e-9);
    [5.0, 2.0, 1.0]
        .into_iter()
        .find(fits)
        .map(|times| times * decade)
        .or(Some(decade * 0.5))
}

#[cfg(test)]
mod tests {
    use super::scale_bar_mm;

    #[test]
    fn the_greatest_round_length_that_fits() {
        for (longest, bar) in [
            (0.2, 0.2),
            (0.19, 0.1),
            (7.3, 5.0),
            (1.0, 1.0),
            (0.099, 0.05),
            (45.0, 20.0),
        ] {
            let found = scale_bar_mm(longest).unwrap();
            assert!((found - bar).abs() < 1e-12, "{longest}: {found}");
        }
        for nothing in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(scale_bar_mm(nothing), None);
        }
    }
}
