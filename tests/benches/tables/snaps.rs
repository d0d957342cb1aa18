//! What snapping does to landmarks clicked by a rough hand, by wear and light.

use std::collections::BTreeMap;

use dietell::geometry::PictureFromSide;
use dietell::photo::Picture;
use dietell::reference::Side;
use mint::{dies, plate};

use super::clicks::{Click, DISC_95, WRONG_PX, quantile, shot, snaps};

/// Every landmark of so many coins of each wear and light, clicked and snapped.
pub fn table(coins: usize) {
    let mut groups: BTreeMap<String, Vec<Click>> = BTreeMap::new();
    let mut plates: BTreeMap<String, (Picture, PictureFromSide)> = BTreeMap::new();
    let mut seed = 60_000;
    for _ in 0..coins {
        for wear in [0.0, 0.15, 0.35, 0.6, 0.85] {
            for light_deg in [-40.0, 50.0, 140.0, 230.0] {
                seed += 1;
                let side = Side::BOTH[(seed % 2) as usize];
                let shot = shot(seed, side, wear, light_deg);
                let designs = dies(side);
                let id = &designs[(seed / 2) as usize % designs.len()].id;
                let plate = plates.entry(id.to_string()).or_insert_with(|| {
                    let shot = plate(side, id, 1500).unwrap();
                    (Picture::new(shot.pixels), shot.truth)
                });
                let found = snaps(&shot, plate, seed, 0.0);
                for key in [
                    format!("wear {wear}"),
                    format!("wear {wear} light {light_deg}"),
                    format!("light from {light_deg} degrees"),
                    "all".to_owned(),
                ] {
                    groups.entry(key).or_default().extend(&found);
                }
            }
        }
    }
    println!("px at 40 px/mm; the plates are lit from about -40 degrees; wrong is beyond {WRONG_PX} px");
    for (key, found) in groups {
        let mut before: Vec<f64> = found.iter().map(|f| f.error).collect();
        let mut after: Vec<f64> = found.iter().filter_map(|f| Some(f.after?.0)).collect();
        let accepted = found.iter().filter_map(|f| f.after);
        let held = accepted
            .filter(|(error, deviation)| *error < DISC_95 * deviation)
            .count();
        let wrong = after.iter().filter(|e| **e > WRONG_PX).count();
        println!(
            "{key:26} {:4} clicks: before median {:.2} 95 % {:.2}; accepted {:.2}; after median {:.3} 95 % {:.2}; held by the 95 % disc {:.2}; wrong {wrong}",
            found.len(),
            quantile(&mut before, 0.5),
            quantile(&mut before, 0.95),
            after.len() as f64 / found.len() as f64,
            quantile(&mut after, 0.5),
            quantile(&mut after, 0.95),
            held as f64 / after.len() as f64,
        );
    }
}
