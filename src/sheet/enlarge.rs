//! How many times true size a crop is printed.

/// The enlargements that a sheet uses: round, so that a reader turns a length on paper into one on the coin by heart.
pub const ROUND: [u32; 11] = [1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20];

/// The largest round enlargement at which `size_mm` (width, height) fits `room_mm`; 1 where none does.
#[must_use]
pub fn enlargement(size_mm: (f64, f64), room_mm: (f64, f64)) -> u32 {
    /// A crop that overshoots by rounding in its last place still fits.
    const SLACK_MM: f64 = 1e-6;
    ROUND
        .into_iter()
        .rev()
        .find(|&times| {
            let times = f64::from(times);
            size_mm.0 * times <= room_mm.0 + SLACK_MM && size_mm.1 * times <= room_mm.1 + SLACK_MM
        })
        .unwrap_or(1)
}

#[cfg(test)]
mod tests {
    use super::enlargement;

    #[test]
    fn takes_the_largest_round_one_that_fits() {
        assert_eq!(enlargement((4.0, 3.0), (42.0, 34.0)), 10);
        assert_eq!(enlargement((4.3, 3.0), (42.0, 34.0)), 8);
        assert_eq!(enlargement((2.0, 2.0), (300.0, 300.0)), 20);
        assert_eq!(enlargement((80.0, 80.0), (42.0, 34.0)), 1);
    }
}
