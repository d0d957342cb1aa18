//! Monte Carlo: coverage of the 95 % discs and error at the zones against the bound. The tables in full:
//! `cargo bench --bench tables -- coverage` and `bound`.

use dietell::geometry::Model;
use rand::Rng;

use super::views::{bound_mm, noise_of_some_hand, run, view};

#[test]
fn discs_hold_the_truth_about_nineteen_times_in_twenty() {
    for count in [3, 4, 6] {
        let o = run(150, count, None, |rng| {
            let tilt = rng.random_range(0.0..25.0);
            (view(tilt, rng), noise_of_some_hand(rng))
        });
        // 900 zones, in clumps of six: about 1.5 % of Monte Carlo error.
        assert!((0.91..0.99).contains(&o.covered), "{count}: {}", o.covered);
    }
    // Square views, the model held: error against the bound, which is the fit's own covariance.
    for model in Model::ALL {
        let o = run(150, 6, Some(model), |rng| (view(0.0, rng), 1.5));
        let bound = bound_mm(model, 6);
        assert!(
            (o.rms_mm / bound - 1.0).abs() < 0.12,
            "{model:?} {} {bound}",
            o.rms_mm
        );
    }
}
