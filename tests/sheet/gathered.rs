//! A sheet gathered from a set, a record and pictures whose every point is known: a checker drawn in side mm.

use std::collections::BTreeMap;
use std::sync::Arc;

use dietell::evidence::Prior;
use dietell::geometry::{PictureFromSide, PicturePoint, SidePoint, SideVector};
use dietell::photo::{Picture, Watch};
use dietell::pipeline::{Missing, Pictures, Study};
use dietell::problem::Problem;
use dietell::reference::*;
use dietell::sheet::content::{OutcomeKind, SheetContent};
use dietell::sheet::{Paper, compose, gather};
use dietell::specimen::*;
use image::{Rgb, RgbImage};

use crate::options;

const DIAMETER: f64 = 20.0;
/// The checker's squares, in mm; a corner lies at the side's origin.
const SQUARE: f64 = 0.5;

/// Dark or light, by the side's own coordinates.
fn is_light(p: SidePoint) -> bool {
    ((p.x / SQUARE).floor() + (p.y / SQUARE).floor()).rem_euclid(2.0) > 0.5
}

fn drawn(at: &PictureFromSide) -> Arc<Picture> {
    Arc::new(Picture::new(RgbImage::from_fn(900, 900, |x, y| {
        let p = at.point_on_side(PicturePoint::new(f64::from(x), f64::from(y)));
        Rgb([if is_light(p) { 220 } else { 40 }; 3])
    })))
}

fn photo_from_side() -> PictureFromSide {
    PictureFromSide::similarity(36.0, 33.0, PicturePoint::new(450.0, 440.0)).unwrap()
}

fn plate_from_side() -> PictureFromSide {
    PictureFromSide::similarity(40.0, -4.0, PicturePoint::new(449.0, 452.0)).unwrap()
}

fn landmarks() -> Vec<Landmark> {
    [(0.0, -8.0), (8.0, 0.5), (-0.5, 8.0), (-8.0, 0.0), (0.3, 0.2)]
        .into_iter()
        .enumerate()
        .map(|(i, (x, y))| Landmark {
            name: LandmarkName(format!("point {i}")),
            place_mm: SidePoint::new(x, y),
            height: None,
            hint: String::new(),
        })
        .collect()
}

fn placed(at: &PictureFromSide) -> BTreeMap<LandmarkName, PicturePoint> {
    landmarks()
        .into_iter()
        .map(|l| (l.name, at.point_in_picture(l.place_mm)))
        .collect()
}

fn side(prefix: &str) -> SideReference {
    let die = |number: u32, state: &str, plate: bool| Die {
        id: DieId(format!("{prefix}{number}")),
        note: String::new(),
        shows: BTreeMap::from([(FeatureId::from("ray"), StateId::from(state))]),
        plates: if plate {
            vec![Plate {
                file: format!("plates/{prefix}{number}.png"),
                landmarks: placed(&plate_from_side()),
                source: "Drawn for the tests".to_owned(),
                rights: "free".to_owned(),
            }]
        } else {
            vec![]
        },
    };
    let state = |id: &str, words: &str| State {
        id: id.into(),
        words: words.to_owned(),
        stated: None,
    };
    SideReference {
        landmarks: landmarks(),
        zones: vec![Zone {
            id: "ray".into(),
            title: "the lowest ray".to_owned(),
            centre_mm: SidePoint::new(3.0, -2.0),
            size_mm: (3.0, 2.0),
            height: None,
            telling_detail_mm: 0.2,
        }],
        features: vec![Feature {
            id: "ray".into(),
            question: "How does the lowest ray end?".to_owned(),
            zone: "ray".into(),
            reliability: 0.98,
            states: vec![
                state("forked", "a forked end"),
                state("plain", "a plain end"),
                state("short", "short of the border"),
            ],
        }],
        dies: vec![
            die(1, "forked", true),
            die(2, "plain", true),
            die(3, "short", false),
        ],
    }
}

fn set() -> ReferenceSet {
    let pairing = |catalogue: &str, obverse: &str, reverse: &str| Pairing {
        catalogue: catalogue.to_owned(),
        obverse: obverse.into(),
        reverse: reverse.into(),
        facts: BTreeMap::new(),
        rarity: Some("scarce".into()),
        estimated_known: None,
        note: String::new(),
    };
    ReferenceSet {
        format: ReferenceSet::FORMAT,
        id: "drawn".to_owned(),
        edition: 4,
        title: "Drawn sixths".to_owned(),
        about: String::new(),
        measures: Measures {
            diameter_mm: DIAMETER,
            relief_mm: None,
            weight_g: Some(4.0),
            weight_tolerance_g: Some(0.2),
            die_axis_deg: None,
        },
        facts: vec![],
        obverse: side("O"),
        reverse: side("R"),
        pairings: vec![pairing("D 1", "O1", "R1"), pairing("D 2", "O2", "R2")],
        unlisted: dietell::reference::UnlistedShares::default(),
        rarity_bands: vec![RarityBand {
            id: "scarce".into(),
            meaning: "under a hundred thought to exist".to_owned(),
            at_least: None,
            at_most: None,
        }],
        price_slope: None,
        cautions: vec!["Casts of O1 are about.".to_owned()],
    }
}

fn record(set: &ReferenceSet) -> SpecimenRecord {
    let mut record = SpecimenRecord::new(
        "Tray 2, coin 7",
        SetReference {
            id: set.id.clone(),
            edition: set.edition,
            title: set.title.clone(),
            place: "drawn".to_owned(),
        },
    );
    for side in Side::BOTH {
        *record.photo_mut(side) = Some(SidePhoto {
            file: format!("{}.jpg", side.word()),
            original_name: format!("phone {}.jpg", side.word()),
            sha256: "ab".repeat(32),
            width_px: 900,
            height_px: 900,
            landmarks: placed(&photo_from_side()),
            held_model: None,
            rim: None,
            fine_shifts: BTreeMap::new(),
        });
        for (state, ruling) in [
            ("forked", Ruling::Agrees),
            ("plain", Ruling::Differs),
            ("short", Ruling::CannotTell(CannotTell::Glare)),
        ] {
            record.verdicts.push(Verdict {
                side,
                feature: "ray".into(),
                state: state.into(),
                ruling,
                note: format!("{state} looked at twice"),
                seen: None,
            });
        }
    }
    record.weight_g = Some(4.9);
    record
}

struct Drawn;

impl Pictures for Drawn {
    fn photo(&self, _: Side, _: &SidePhoto) -> Result<Arc<Picture>, Missing> {
        Ok(drawn(&photo_from_side()))
    }

    fn plate(&self, plate: &Plate) -> Result<Arc<Picture>, Missing> {
        if plate.file == "plates/R2.png" {
            return Err(Missing::Unreadable(Problem::new(
                "The picture plates/R2.png could not be read: it is not there.",
            )));
        }
        Ok(drawn(&plate_from_side()))
    }

    fn other_photo(&self, _: Side, other: &OtherSpecimen) -> Result<Arc<Picture>, Missing> {
        if other.place == "../gone" {
            return Err(Missing::NoFolder);
        }
        Ok(drawn(&other_from_side()))
    }
}

/// Another coin's photo of the same checker.
fn other_from_side() -> PictureFromSide {
    PictureFromSide::similarity(31.0, 140.0, PicturePoint::new(440.0, 455.0)).unwrap()
}

fn rows(from_side: &PictureFromSide) -> [f64; 9] {
    std::array::from_fn(|i| from_side.matrix()[(i / 3, i % 3)])
}

fn gathered(set: &ReferenceSet, record: &SpecimenRecord) -> SheetContent {
    gather(&Study::new(set, record, Prior::Equal, &Drawn), &Watch::default())
}

#[test]
fn every_crop_shows_its_zone_at_its_printed_scale() {
    let set = set();
    let content = gathered(&set, &record(&set));
    let feature = &content.features[0];
    // 4.5 x 3 mm in a column of 42 mm: 8 times.
    assert_eq!(feature.enlargement, 8);
    let plate = feature.states[0].plate.as_ref().unwrap();
    for crop in [feature.coin.as_ref().unwrap(), plate.crop.as_ref().unwrap()] {
        let (w, h) = crop.size_mm();
        assert!((w - 4.5).abs() < 0.02 && (h - 3.0).abs() < 0.02, "{w} x {h}");
        // In the middle of each square the crop has the square's shade, so photo and plate agree with the side.
        for i in 0..8 {
            for k in 0..6 {
                let p = SidePoint::new(1.25 + SQUARE * f64::from(i), -3.25 + SQUARE * f64::from(k));
                let at = crop.frame.point_in_crop(p);
                let shade = crop.pixels.get_pixel(at.x.round() as u32, at.y.round() as u32).0[0];
                assert_eq!(shade > 128, is_light(p), "at {p:?}: {shade}");
            }
        }
    }
}

#[test]
fn what_is_missing_is_said_and_nothing_else_is_lost() {
    let set = set();
    let content = gathered(&set, &record(&set));
    let reverse = content.features.iter().find(|f| f.side == Side::Reverse).unwrap();
    assert_eq!(reverse.label, "2");
    let plain = reverse.states[1].plate.as_ref().unwrap();
    assert!(
        plain
            .crop
            .as_ref()
            .unwrap_err()
            .to_string()
            .contains("plates/R2.png")
    );
    assert!(reverse.states[2].plate.is_none());
    assert_eq!(content.outcome.catalogue.as_deref(), Some("D 1"));
    assert_eq!(
        content.outcome.rarity,
        Some(("scarce".to_owned(), "under a hundred thought to exist".to_owned()))
    );
    assert!(matches!(
        content.outcome.kind,
        OutcomeKind::Settled | OutcomeKind::Leaning
    ));
    assert_eq!(
        content.pairings[1].out,
        ["The obverse die O2 is out.", "The reverse die R2 is out."]
    );
    // Agreeing on one state and differing from the die's own is one cause, not two.
    let o2 = content.dies.iter().find(|d| d.die == "O2").unwrap();
    assert_eq!(
        o2.out,
        ["Feature 1: the coin shows \u{201c}a forked end\u{201d}, this die \u{201c}a plain end\u{201d}."]
    );
    assert!(content.coin_cautions.iter().any(|c| c.contains("4.9 g")));
    let sheet = compose(&content, &options(Paper::A4));
    let text: String = sheet
        .pages
        .iter()
        .flat_map(|page| &page.items)
        .filter_map(|item| match &item.shape {
            dietell::sheet::display::Shape::Text { text, .. } => Some(format!("{text} ")),
            _ => None,
        })
        .collect();
    for needed in [
        "could not be read",
        "known in words only",
        "Cannot tell: glare",
        "Note: forked looked at twice",
        "phone obverse.jpg",
        "scarce: under a hundred thought to exist",
        "The obverse die O2 is out.",
        "From the reference set: Casts of O1 are about.",
        "4.9 g (nominal 4 \u{b1} 0.2 g)",
        "chosen by evidence",
    ] {
        assert!(text.contains(needed), "{needed} is missing from {text}");
    }
}

#[test]
fn fine_shifts_evened_light_and_measures_are_on_the_sheet() {
    let mut set = set();
    let stated = |value| {
        Some(StatedMeasure::DistanceMm {
            what: "ray to border".to_owned(),
            value,
            tolerance: 0.05,
        })
    };
    // 1.30 mm is measured: the first state states as much, the second more by a multiple of both uncertainties.
    let states = &mut set.obverse.features[0].states;
    (states[0].stated, states[1].stated) = (stated(1.28), stated(1.9));
    let words = [states[0].words.clone(), states[1].words.clone()];
    let mut record = record(&set);
    let photo = record.obverse.as_mut().unwrap();
    photo.fine_shifts.insert(
        "ray".into(),
        FineShift {
            shift_mm: SideVector::new(0.05, -0.02),
        },
    );
    let matrix = *photo_from_side().matrix();
    let moved = matrix * translation(0.4, 0.0);
    record.verdicts[0].seen = Some(SeenCrop {
        plate: Some(("O1".into(), 0)),
        photo_from_side: std::array::from_fn(|i| moved[(i / 3, i % 3)]),
        centre_mm: SidePoint::new(3.0, -2.0),
        size_mm: (4.5, 3.0),
        px_per_mm: 60.0,
        uncertainty_mm: 0.05,
        light_evened: 0.7,
    });
    record.measurements.push(Measurement {
        side: Side::Obverse,
        feature: "ray".into(),
        kind: MeasureKind::Distance,
        points_mm: vec![SidePoint::new(2.0, -2.0), SidePoint::new(3.2, -2.5)],
        note: "ray to border".to_owned(),
    });
    let content = gathered(&set, &record);
    let feature = &content.features[0];
    assert_eq!(feature.light_evened, Some(0.7));
    assert_eq!(feature.fine_shift, Some(SideVector::new(0.05, -0.02)));
    let measure = &feature.measures[0];
    assert!((measure.value - 1.3).abs() < 1e-12);
    // Two ends placed by hand to 1 px at 36 px/mm, 95 %: 1.96 sqrt(2) / 36 mm and a little for the scale.
    let hand = 1.96 * 2_f64.sqrt() / 36.0;
    assert!(
        (hand..1.5 * hand).contains(&measure.uncertainty.unwrap()),
        "{measure:?}"
    );
    assert_eq!(
        (&measure.fits, &measure.contradicts),
        (&vec![words[0].clone()], &vec![words[1].clone()])
    );
    // The verdict was given on a crop 0.4 mm away.
    assert!(
        feature
            .remarks
            .iter()
            .any(|r| r.contains("alignment has changed since")),
        "{:?}",
        feature.remarks
    );
    assert!(content.features[1].remarks.is_empty());
}

fn translation(x: f64, y: f64) -> nalgebra::Matrix3<f64> {
    nalgebra::Matrix3::new(1.0, 0.0, x, 0.0, 1.0, y, 0.0, 0.0, 1.0)
}

#[test]
fn a_comparison_with_another_coin_is_printed_as_an_opinion() {
    let set = set();
    let mut record = record(&set);
    let other = OtherSpecimen {
        title: "Tray 3, coin 2".to_owned(),
        place: "../tray-3-2".to_owned(),
        photo: "phone 2.jpg".to_owned(),
        sha256: "cd".repeat(32),
    };
    record.compare_with(Side::Obverse, &other, |c| {
        c.finding_mut(&Spot::Zone(set.obverse.zones[0].id.clone())).found = Some(Found::Same);
        let crack = c.finding_mut(&Spot::Place {
            title: "crack to the rim".to_owned(),
            centre_mm: SidePoint::new(-4.25, 6.0),
            size_mm: (3.0, 2.0),
        });
        crack.found = Some(Found::Differs(Difference::DieState));
        crack.more_on = Some(WhichCoin::Other);
        crack.note = "twice as long".to_owned();
        crack.seen = Some(SeenPair {
            photo_from_side: [0.0; 9],
            other_from_side: [0.0; 9],
            sha256: "ee".repeat(32),
            other_sha256: "cd".repeat(32),
            centre_mm: SidePoint::new(-4.25, 6.0),
            size_mm: (3.9, 2.6),
            px_per_mm: 60.0,
            uncertainty_mm: 0.052,
            light_evened: 0.0,
        });
        let whole = c.finding_mut(&Spot::WholeSide);
        whole.found = Some(Found::Same);
        whole.seen = Some(SeenPair {
            photo_from_side: rows(&photo_from_side()),
            other_from_side: rows(&other_from_side()),
            sha256: "ab".repeat(32),
            other_sha256: "cd".repeat(32),
            centre_mm: SidePoint::new(0.6, -0.3),
            size_mm: (4.0, 3.0),
            px_per_mm: 90.0,
            uncertainty_mm: 0.04,
            light_evened: 0.0,
        });
        c.measurements.push(PairMeasurement {
            spot: Spot::WholeSide,
            on: WhichCoin::This,
            kind: MeasureKind::Distance,
            points_mm: vec![SidePoint::new(2.0, -2.0), SidePoint::new(3.2, -2.5)],
            half_width_95: None,
        });
        c.measurements.push(PairMeasurement {
            spot: Spot::WholeSide,
            on: WhichCoin::Other,
            kind: MeasureKind::Distance,
            points_mm: vec![SidePoint::new(1.0, 0.0), SidePoint::new(1.6, 0.8)],
            half_width_95: Some(0.0625),
        });
        c.conclusion = Some(Conclusion::SameDieThisEarlier);
    });
    let content = gathered(&set, &record);
    let [comparison] = &content.comparisons[..] else {
        panic!("one comparison: {:?}", content.comparisons);
    };
    assert_eq!(comparison.findings[0].spot, set.obverse.zones[0].title);
    let crack = &comparison.findings[1];
    assert_eq!(crack.kind, "die state, on the other coin");
    assert_eq!(crack.place, "\u{b1} 0.052 mm");
    assert!(
        crack.spot.starts_with("crack to the rim (at \u{2212}4.2"),
        "{}",
        crack.spot
    );
    // 1.2 right and 0.5 up make 1.3.
    assert!(
        comparison.measures[0].contains("1.300"),
        "{:?}",
        comparison.measures
    );
    // The other coin's alignment is in its own record: what was kept when it was measured is printed.
    assert!(
        comparison.measures[1].contains("1.000 \u{b1} 0.062 mm"),
        "{:?}",
        comparison.measures
    );
    // Its crop was seen on another photo of this coin, and the whole side's on these.
    assert!(crack.crops.as_ref().unwrap().this.is_err());
    let whole = comparison.findings[2].crops.as_ref().unwrap();
    assert_eq!(whole.enlargement, 10);
    for crop in [whole.this.as_ref().unwrap(), whole.other.as_ref().unwrap()] {
        for (i, k) in (0..6).flat_map(|i| (0..4).map(move |k| (i, k))) {
            let p = SidePoint::new(-0.75 + SQUARE * f64::from(i), -1.25 + SQUARE * f64::from(k));
            let at = crop.frame.point_in_crop(p);
            let shade = crop.pixels.get_pixel(at.x.round() as u32, at.y.round() as u32).0[0];
            assert_eq!(shade > 128, is_light(p), "at {p:?}: {shade}");
        }
    }
    let mut gone = record.clone();
    gone.comparisons[0].other.place = "../gone".to_owned();
    let without = gathered(&set, &gone);
    let crops = without.comparisons[0].findings[2].crops.as_ref().unwrap();
    assert!(crops.this.is_ok() && crops.other.is_err());
    crate::layout::check(&compose(&without, &options(Paper::A4)));
    let sheet = compose(&content, &options(Paper::A4));
    let text = crate::layout::check(&sheet).replace('\n', " ");
    for words in [
        "Compared with other coins",
        "Obverse against that of Tray 3, coin 2",
        "Concluded, as an opinion: same die, this coin earlier.",
        &"cd".repeat(32),
        "phone 2.jpg",
        "twice as long",
        "agreement is no proof of one die",
        "1 of the findings was made on another photo",
    ] {
        assert!(text.contains(words), "{words} is not in {text}");
    }
    record.comparisons.clear();
    let sheet = compose(&gathered(&set, &record), &options(Paper::A4));
    assert!(!crate::layout::check(&sheet).contains("Compared with other coins"));
}

#[test]
fn a_specimen_with_nothing_yet_makes_a_sheet() {
    let set = set();
    let mut record = record(&set);
    record.obverse = None;
    record.verdicts.clear();
    record.weight_g = None;
    record.reverse.as_mut().unwrap().landmarks.clear();
    let content = gathered(&set, &record);
    assert_eq!(content.outcome.kind, OutcomeKind::Open);
    assert!(content.features.iter().all(|f| f.coin.is_err()));
    // The plates are shown all the same.
    assert!(content.features[0].states[0].plate.as_ref().unwrap().crop.is_ok());
    assert!(!compose(&content, &options(Paper::Letter)).pages.is_empty());
}
