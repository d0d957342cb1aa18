//! The sheet of a demo coin: a real photo's size, plates, perspective and words.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use dietell::evidence::{Outcome, Prior};
use dietell::geometry::PicturePoint;
use dietell::photo::{ReadLimits, Watch, read_picture};
use dietell::pipeline::{Album, PictureKey, Study};
use dietell::reference::{FeatureId, LandmarkName, ReferenceSet, SetSource, Side, demo_coins, demo_set};
use dietell::sheet::{Paper, compose, gather, write_sheet};
use dietell::specimen::*;
use rand::SeedableRng;
use rand_distr::{Distribution, Normal};

use crate::{layout, options};

/// The dies that the mint struck the circulated coin from.
const TRUTH: [&str; 2] = ["O4", "R3"];
/// Hand placing of landmarks, in px a coordinate.
const HAND_PX: f64 = 1.5;

fn coin_file(name: &str) -> &'static [u8] {
    demo_coins().iter().find(|(path, _)| *path == name).unwrap().1
}

/// The coin's photos and the built-in plates, read as the program reads them.
fn album(record: &SpecimenRecord) -> Album {
    let album = Album {
        cache: Arc::default(),
        folder: None,
        source: Some(SetSource::Demo),
        watch: Watch::default(),
    };
    for side in Side::BOTH {
        let photo = record.photo(side).unwrap();
        let name = &photo.original_name;
        let limits = ReadLimits::default();
        let picture = read_picture(name.as_ref(), coin_file(name), &limits, &Watch::default()).unwrap();
        let key = PictureKey::Photo(photo.sha256.clone());
        album.cache.keep(key, Arc::new(picture));
    }
    album
}

/// The circulated coin with hand-placed landmarks and a true verdict on every state but a few.
fn record(set: &ReferenceSet) -> SpecimenRecord {
    let mut record = SpecimenRecord::new(
        "Five varn, tray 3, no. 12",
        SetReference {
            id: set.id.clone(),
            edition: set.edition,
            title: set.title.clone(),
            place: "demo".to_owned(),
        },
    );
    let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(5);
    let hand = Normal::new(0.0, HAND_PX).unwrap();
    let mut table = csv::Reader::from_reader(coin_file("circulated-landmarks.csv"));
    let rows: Vec<(String, String, f64, f64)> = table.deserialize().map(Result::unwrap).collect();
    for (side, die) in Side::BOTH.into_iter().zip(TRUTH) {
        let landmarks: BTreeMap<LandmarkName, PicturePoint> = rows
            .iter()
            .filter(|row| row.0 == side.word())
            .step_by(2)
            .map(|row| {
                let place = PicturePoint::new(row.2 + hand.sample(&mut rng), row.3 + hand.sample(&mut rng));
                (LandmarkName(row.1.clone()), place)
            })
            .collect();
        *record.photo_mut(side) = Some(SidePhoto {
            file: format!("{}.jpg", side.word()),
            original_name: format!("circulated-{}.jpg", side.word()),
            sha256: ["0f", "1f"][side as usize].repeat(32),
            width_px: 4032,
            height_px: 3024,
            landmarks,
            held_model: None,
            rim: None,
            fine_shifts: BTreeMap::new(),
        });
        let shows = set.side(side).die(&die.into()).unwrap().shows.clone();
        for (i, feature) in set.side(side).features.iter().enumerate() {
            for state in &feature.states {
                let truth = shows.get(&feature.id) == Some(&state.id);
                let ruling = match (i, truth) {
                    (4, _) => Ruling::CannotTell(CannotTell::Wear),
                    (_, true) => Ruling::Agrees,
                    (_, false) => Ruling::Differs,
                };
                record
                    .verdicts
                    .push(verdict(side, &feature.id, &state.id, ruling, i));
            }
        }
    }
    for (fact, answer) in [("date", "415"), ("mint-mark", "star")] {
        record
            .facts
            .insert(fact.into(), FactAnswer::Is(answer.to_owned()));
    }
    record.weight_g = Some(8.31);
    record.grade = "very fine".to_owned();
    record
}

fn verdict(
    side: Side,
    feature: &FeatureId,
    state: &dietell::reference::StateId,
    ruling: Ruling,
    place: usize,
) -> Verdict {
    Verdict {
        side,
        feature: feature.clone(),
        state: state.clone(),
        ruling,
        note: if place == 2 && ruling == Ruling::Agrees {
            "Clear, and the same in a second photo lit from the right.".to_owned()
        } else {
            String::new()
        },
        seen: (place == 6).then(|| SeenCrop {
            plate: None,
            // Not a transform, so not compared with the present one.
            photo_from_side: [0.0; 9],
            centre_mm: dietell::geometry::SidePoint::origin(),
            size_mm: (1.0, 1.0),
            px_per_mm: 40.0,
            uncertainty_mm: 0.05,
            light_evened: 0.8,
        }),
    }
}

#[test]
fn the_demo_coin_has_a_whole_sheet() {
    let set = demo_set().unwrap();
    let record = record(&set);
    let album = album(&record);
    let study = Study::new(&set, &record, Prior::Equal, &album);
    let Outcome::Settled { pairing } = study.computed.standing.outcome else {
        panic!("{:?}", study.computed.standing.outcome);
    };
    assert_eq!(set.pairings[pairing].obverse.as_str(), TRUTH[0]);
    assert_eq!(set.pairings[pairing].reverse.as_str(), TRUTH[1]);
    let content = gather(&study, &Watch::default());
    assert!(
        content
            .sides
            .iter()
            .all(|s| s.picture.is_ok() && s.alignment.is_ok())
    );
    for feature in &content.features {
        assert!(feature.coin.is_ok(), "{}", feature.question);
        for state in &feature.states {
            assert!(
                state.plate.as_ref().is_some_and(|p| p.crop.is_ok()),
                "{}",
                state.words
            );
        }
    }
    let sheet = compose(&content, &options(Paper::A4));
    let text = layout::check(&sheet);
    assert!(text.contains(&format!("Catalogue number {}", set.pairings[pairing].catalogue)));
    assert!(text.contains("Light evened on coin and plates, 80 %"));
    let folder = tempfile::tempdir().unwrap();
    let folder =
        std::env::var_os("DIETELL_SHEET_OUT").map_or_else(|| folder.path().to_owned(), PathBuf::from);
    std::fs::create_dir_all(&folder).unwrap();
    write_sheet(
        &sheet,
        &folder.join("demo.pdf"),
        dietell::files::Replacing::Anything,
    )
    .unwrap();
    let bytes = std::fs::metadata(folder.join("demo.pdf")).unwrap().len();
    eprintln!("{} pages, {} kB", sheet.pages.len(), bytes / 1000);
    assert!(bytes < 6_000_000, "{bytes}");
}
