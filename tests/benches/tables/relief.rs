//! Coverage of the 95 % discs on relief seen in perspective.

use super::raised::{Known, Level, run};

const BANDS: [(f64, f64); 3] = [(0.0, 8.0), (8.0, 12.0), (12.0, 25.0)];
/// Not used while anything was chosen.
const SEED: u64 = 40_404;

/// Coverage by landmarks, tilt and what is known of heights.
pub fn table(trials: usize) {
    println!("{trials} coins x 6 zones a cell; tilt below 8, 8 to 12, 12 to 25 degrees");
    println!(
        "share of zones within their 95 % disc in percent (its median radius in mm, over that of exact heights)"
    );
    for level in [Level::Surface, Level::Field] {
        for count in [3, 4, 6, 10] {
            let cell = |known, band| run(count, band, known, level, trials, SEED);
            let exact = BANDS.map(|band| cell(Known::Exactly, band).median_radius_mm);
            for known in [
                Known::Ignored,
                Known::Expected,
                Known::ZonesStated,
                Known::Learnt(0.03),
                Known::Exactly,
            ] {
                print!(
                    "{level:?}, {count:2} landmarks, heights {:14}",
                    format!("{known:?}")
                );
                for (band, exact) in BANDS.into_iter().zip(exact) {
                    let o = cell(known, band);
                    let radius = o.median_radius_mm;
                    print!(
                        " | {:5.1} ({radius:.3} x{:.2})",
                        100.0 * o.covered,
                        radius / exact
                    );
                }
                println!();
            }
        }
    }
}
