//! Snap, proposals and fine shift against minted truth.

use std::collections::BTreeMap;

use dietell::align::{Alignment, Marked, SnapRefused, fine_shift, propose_rest};
use dietell::crop::{CropFrame, cut};
use dietell::geometry::{PictureFromSide, SidePoint};
use dietell::photo::Picture;
use dietell::reference::Side;
use mint::{dies, landmarks, plate};

use super::clicks::{Click, DISC_95, WRONG_PX, quantile, shot, snaps};
use super::views::{DIAMETER_MM, measures};

/// One coin, lit about as its plate: many of its landmarks snap and none goes wrong; others follow from three; a known
/// shift of a crop is found again.
#[test]
fn a_minted_coin_snaps_to_its_plate() {
    let side = Side::Obverse;
    let shot = shot(31, side, 0.12, -40.0);
    let reference = plate(side, &dies(side)[0].id, 1300).unwrap();
    let plate = (Picture::new(reference.pixels), reference.truth);

    let found = snaps(&shot, &plate, 3, 0.0);
    let mut after: Vec<f64> = found.iter().filter_map(|f| Some(f.after?.0)).collect();
    let mut before: Vec<f64> = found.iter().map(|f| f.error).collect();
    assert!(after.len() * 4 >= found.len() * 3, "{found:?}");
    assert!(after.iter().all(|e| *e < WRONG_PX), "{found:?}");
    assert!(
        quantile(&mut after, 0.5) < 0.5 && quantile(&mut before, 0.5) > 3.0,
        "{found:?}"
    );

    // What it says of its own precision holds about as often as it should.
    let held = |f: &&Click| {
        f.after
            .is_some_and(|(error, deviation)| error < DISC_95 * deviation)
    };
    assert!(
        found.iter().filter(held).count() * 4 >= after.len() * 3,
        "{found:?}"
    );
    // Clicked 2 mm off, where the reach does not go, a landmark stays.
    let far = snaps(&shot, &plate, 3, 80.0);
    assert!(far.iter().all(|f| f.after.is_none()), "{far:?}");

    // The rest from three.
    let set = landmarks(side);
    let photo = Picture::new(shot.pixels.clone());
    let mut placed: BTreeMap<_, _> = shot.landmarks();
    let keep: Vec<_> = [0, 3, 12].iter().map(|i| set[*i].name.clone()).collect();
    placed.retain(|name, _| keep.contains(name));
    let pattern = Alignment::certain(plate.1, DIAMETER_MM / 2.0);
    let marked = Marked::from(&placed);
    let proposals = propose_rest(&photo, &plate.0, &pattern, &set, &measures(), marked).unwrap();
    assert_eq!(proposals.len(), set.len() - 3);
    let truth = shot.landmarks();
    let good = proposals
        .iter()
        .filter_map(|p| p.outcome.ok().map(|s| (s.to - truth[&p.name]).length()))
        .collect::<Vec<_>>();
    assert!(good.len() * 4 >= proposals.len() * 3, "{proposals:?}");
    assert!(good.iter().all(|e| *e < WRONG_PX), "{good:?}");

    // A crop moved by a known shift.
    let frame = CropFrame {
        centre: set[3].place_mm,
        px_per_mm: 40.0,
        rotation_deg: 0.0,
        width_px: 180,
        height_px: 180,
    };
    let shift = nalgebra::Matrix3::new(1.0, 0.0, 0.06, 0.0, 1.0, -0.04, 0.0, 0.0, 1.0);
    let wrong = PictureFromSide::new(shot.truth.matrix() * shift.try_inverse().unwrap()).unwrap();
    let coin = cut(&photo, &wrong, &frame).pixels;
    let die = cut(&plate.0, &plate.1, &frame).pixels;
    let found = fine_shift(&coin, &die, 6.0).unwrap();
    // The photo was read too far left by 0.06 mm: its content lies 2.4 px right of the plate's.
    assert!((found.shift_px.x - 2.4).abs() < 0.6, "{found:?}");
    assert!((found.shift_px.y + 1.6).abs() < 0.6, "{found:?}");
    assert!(found.score > found.score_unshifted);
    assert_eq!(fine_shift(&coin, &die, 1.0), Err(SnapRefused::TooFar));
    // Elsewhere on the plate nothing is alike.
    let elsewhere = CropFrame {
        centre: SidePoint::new(-3.0, 2.0),
        ..frame
    };
    assert!(fine_shift(&coin, &cut(&plate.0, &plate.1, &elsewhere).pixels, 6.0).is_err());
}
