//! A set as large as any collector's, invented: 200 dies a side.

use std::path::Path;

use dietell::geometry::{PicturePoint, SidePoint};
use dietell::reference::{
    Die, Feature, Landmark, Pairing, Plate, ReferenceSet, SideReference, State, Zone, parse_set,
};

/// The dies of each side.
pub const DIES: usize = 200;
const FEATURES: usize = 24;
const LANDMARKS: usize = 12;

/// A set of 200 dies a side with 24 features, 12 landmarks on each of the 400 plates, and 600 pairings.
pub fn large() -> ReferenceSet {
    let text = include_str!("../data/sets/minimal.ron");
    let mut set = parse_set(text, Path::new("set.ron")).expect("the minimal set is read");
    (set.obverse, set.reverse) = (side("O"), side("R"));
    set.pairings = (0..600)
        .map(|n| Pairing {
            catalogue: format!("KF {n}"),
            obverse: format!("O{}", n % DIES).as_str().into(),
            reverse: format!("R{}", (n * 7 + n / DIES) % DIES).as_str().into(),
            facts: [("date".into(), vec!["411".to_owned()])].into(),
            rarity: Some("common".into()),
            estimated_known: Some(50.0),
            note: "Known from the cabinet of the Ostrel mint.".to_owned(),
        })
        .collect();
    set
}

fn side(letter: &str) -> SideReference {
    let id = |word: &str, n: usize| format!("{word} {n}");
    SideReference {
        landmarks: (0..LANDMARKS)
            .map(|n| Landmark {
                name: id("landmark", n).as_str().into(),
                place_mm: place(n),
                height: None,
                hint: "The point where the stroke meets the border.".to_owned(),
            })
            .collect(),
        zones: (0..FEATURES)
            .map(|n| Zone {
                id: id("zone", n).as_str().into(),
                title: "Stop after the second letter".to_owned(),
                centre_mm: place(n),
                size_mm: (2.0, 2.0),
                height: None,
                telling_detail_mm: 0.15,
            })
            .collect(),
        features: (0..FEATURES)
            .map(|n| Feature {
                id: id("feature", n).as_str().into(),
                question: "How far is the stop from the letter?".to_owned(),
                zone: id("zone", n).as_str().into(),
                reliability: 0.95,
                states: (0..3)
                    .map(|state| State {
                        id: id("state", state).as_str().into(),
                        words: "about the width of a stroke".to_owned(),
                        stated: None,
                    })
                    .collect(),
            })
            .collect(),
        dies: (0..DIES)
            .map(|n| Die {
                id: format!("{letter}{n}").as_str().into(),
                note: "Recut after the accession.".to_owned(),
                // A fixed scatter of states; coprime steps keep the dies apart.
                shows: (0..FEATURES)
                    .map(|f| {
                        let state = (n * (f + 3) * 7919 / 13 + f * f) % 3;
                        (
                            id("feature", f).as_str().into(),
                            id("state", state).as_str().into(),
                        )
                    })
                    .collect(),
                plates: vec![Plate {
                    file: format!("plates/{letter}{n}.jpg"),
                    landmarks: (0..LANDMARKS)
                        .map(|l| {
                            let place = place(l);
                            let point =
                                PicturePoint::new(2000.25 + 150.0 * place.x, 1500.5 + 150.0 * place.y);
                            (id("landmark", l).as_str().into(), point)
                        })
                        .collect(),
                    source: "Photographed for this set.".to_owned(),
                    rights: "Free to share.".to_owned(),
                }],
            })
            .collect(),
    }
}

fn place(n: usize) -> SidePoint {
    let turn = n as f64 * 0.7;
    SidePoint::new(9.0 * turn.cos(), 9.0 * turn.sin())
}
