//! A small set and a coin of it, drawn by formula: shaded bumps on a disc, so that the true state of every crop is
//! known. Plates and photo are seen at other scales and turns.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{Arc, OnceLock};

use dietell::app::model::bench::Step;
use dietell::app::model::picture_slot::PictureSlot;
use dietell::app::shell::dialogs::ScriptedDialogs;
use dietell::app::shell::window::{Setup, Window};
use dietell::geometry::{PictureFromSide, PicturePoint, SidePoint};
use dietell::photo::Picture;
use dietell::pipeline;
use dietell::pipeline::OpenedSpecimen;
use dietell::reference::{
    Die, FactChoice, FactQuestion, Feature, Landmark, Measures, Pairing, Plate, RarityBand, ReferenceSet,
    Side, SideReference, State, StatedMeasure, Zone,
};
use dietell::specimen::{SetReference, SidePhoto, SpecimenRecord};
use egui_kittest::Harness;
use image::{Rgb, RgbImage};

/// The states that each die shows, by feature; what differs in the relief.
pub struct DieTruth {
    pub id: &'static str,
    /// The stop's place (0 near, 1 far).
    pub stop: usize,
    /// The number of leaves (0 to 4), one of five states.
    pub leaves: usize,
}

pub const OBVERSE: [DieTruth; 5] = [
    DieTruth {
        id: "A",
        stop: 0,
        leaves: 0,
    },
    DieTruth {
        id: "B",
        stop: 0,
        leaves: 1,
    },
    DieTruth {
        id: "C",
        stop: 1,
        leaves: 2,
    },
    DieTruth {
        id: "D",
        stop: 1,
        leaves: 3,
    },
    DieTruth {
        id: "E",
        stop: 1,
        leaves: 4,
    },
];
pub const REVERSE: [DieTruth; 3] = [
    DieTruth {
        id: "1",
        stop: 0,
        leaves: 1,
    },
    DieTruth {
        id: "2",
        stop: 1,
        leaves: 1,
    },
    DieTruth {
        id: "3",
        stop: 0,
        leaves: 3,
    },
];
/// The coin of the tests is of this pairing.
pub const COIN: (&str, &str) = ("C", "2");

const DIAMETER: f64 = 24.0;
/// Landmarks in side mm.
const LANDMARKS: [(&str, f64, f64); 6] = [
    ("top of the staff", 0.0, -9.0),
    ("right star", 8.5, -2.0),
    ("foot of the right letter", 6.0, 7.0),
    ("foot of the left letter", -6.0, 7.0),
    ("left star", -8.5, -2.0),
    ("navel", 0.4, 0.8),
];
const STOP_ZONE: (f64, f64) = (5.5, -5.5);
const LEAF_ZONE: (f64, f64) = (-4.0, 2.0);

fn bump(x: f64, y: f64, cx: f64, cy: f64, r: f64) -> f64 {
    let d2 = (x - cx).powi(2) + (y - cy).powi(2);
    (1.2 - d2 / (r * r)).clamp(0.0, 1.0)
}

/// The relief's height at a place, arbitrary units.
fn height(die: &DieTruth, x: f64, y: f64) -> f64 {
    let r = x.hypot(y);
    let mut h = bump(r, 0.0, 11.4, 0.0, 0.4) * 1.4;
    for (_, lx, ly) in LANDMARKS {
        h += bump(x, y, lx, ly, 0.55);
    }
    for i in 0..40 {
        let a = f64::from(i) * std::f64::consts::TAU / 40.0;
        h += 0.5 * bump(x, y, 10.5 * a.cos(), 10.5 * a.sin(), 0.3);
    }
    // A letter beside the stop: a bar, leaning.
    let (sx, sy) = STOP_ZONE;
    if (x - sx + 0.8 + 0.2 * (y - sy)).abs() < 0.22 && (y - sy).abs() < 1.1 {
        h += 1.0;
    }
    let gap = [0.3, 0.95][die.stop];
    h += bump(x, y, sx + gap, sy + 0.5, 0.26);
    // A stem with leaves.
    let (lx, ly) = LEAF_ZONE;
    if (x - lx).abs() < 0.14 && (y - ly).abs() < 1.3 {
        h += 0.9;
    }
    for leaf in 0..die.leaves {
        let up = -0.9 + 0.55 * leaf as f64;
        let side = if leaf % 2 == 0 { 0.45 } else { -0.45 };
        h += 0.9 * bump((x - lx - side) * 0.7, (y - ly - up) * 1.6, 0.0, 0.0, 0.26);
    }
    h
}

fn picture(die: &DieTruth, from_side: &PictureFromSide, size: u32, tone: [f64; 3]) -> RgbImage {
    RgbImage::from_fn(size, size, |px, py| {
        let p = from_side.point_on_side(PicturePoint::new(f64::from(px), f64::from(py)));
        if p.x.hypot(p.y) > DIAMETER / 2.0 {
            return Rgb([58, 60, 64]);
        }
        let e = 0.04;
        let slope = (height(die, p.x - e, p.y - e) - height(die, p.x + e, p.y + e)) / (2.0 * e);
        let light = (0.62 + 0.16 * slope).clamp(0.08, 1.0);
        Rgb(tone.map(|t| {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 255")]
            let level = (t * light) as u8;
            level
        }))
    })
}

fn plate_view() -> PictureFromSide {
    PictureFromSide::similarity(24.0, 0.0, PicturePoint::new(310.0, 305.0)).unwrap()
}

/// The photo's true transform.
pub fn photo_view(side: Side) -> PictureFromSide {
    let turn = match side {
        Side::Obverse => 23.0,
        Side::Reverse => -160.0,
    };
    PictureFromSide::similarity(31.0, turn, PicturePoint::new(405.0, 396.0)).unwrap()
}

fn marked(view: &PictureFromSide) -> BTreeMap<dietell::reference::LandmarkName, PicturePoint> {
    LANDMARKS
        .iter()
        .map(|(name, x, y)| ((*name).into(), view.point_in_picture(SidePoint::new(*x, *y))))
        .collect()
}

fn feature(id: &str, question: &str, zone: &str, states: &[(&str, &str)]) -> Feature {
    Feature {
        id: id.into(),
        question: question.to_owned(),
        zone: zone.into(),
        reliability: 0.95,
        states: states
            .iter()
            .map(|(id, words)| State {
                id: (*id).into(),
                words: (*words).to_owned(),
                stated: None,
            })
            .collect(),
    }
}

const STOPS: [&str; 2] = ["near", "far"];
const LEAVES: [&str; 5] = ["none", "one", "two", "three", "four"];

fn side_reference(side: Side, dies: &[DieTruth]) -> SideReference {
    let zone = |id: &str, title: &str, (x, y): (f64, f64)| Zone {
        id: id.into(),
        title: title.to_owned(),
        centre_mm: SidePoint::new(x, y),
        size_mm: (3.2, 3.2),
        height: None,
        telling_detail_mm: 0.25,
    };
    let mut stop = feature(
        "stop",
        "How far is the stop from the letter?",
        "stop zone",
        &[
            ("near", "close to the letter"),
            ("far", "well clear of the letter"),
        ],
    );
    stop.states[0].stated = Some(StatedMeasure::DistanceMm {
        what: "letter to stop".to_owned(),
        value: 1.1,
        tolerance: 0.15,
    });
    let leaves = match side {
        Side::Obverse => feature(
            "leaves",
            "How many leaves are on the stem?",
            "leaf zone",
            &[
                ("none", "no leaf"),
                ("one", "one leaf"),
                ("two", "two leaves"),
                ("three", "three leaves"),
                ("four", "four leaves"),
            ],
        ),
        // The last is on no die with a plate: known in words only.
        Side::Reverse => feature(
            "leaves",
            "How many leaves are on the branch?",
            "leaf zone",
            &[
                ("one", "a single leaf"),
                ("three", "a leaf on each twig"),
                ("four", "a leaf too many"),
            ],
        ),
    };
    SideReference {
        landmarks: LANDMARKS
            .iter()
            .map(|(name, x, y)| Landmark {
                name: (*name).into(),
                place_mm: SidePoint::new(*x, *y),
                height: None,
                hint: String::new(),
            })
            .collect(),
        zones: vec![
            zone("stop zone", "after the last letter", STOP_ZONE),
            zone("leaf zone", "the stem at the left", LEAF_ZONE),
        ],
        features: vec![stop, leaves],
        dies: dies
            .iter()
            .map(|die| Die {
                id: die.id.into(),
                note: String::new(),
                shows: [
                    ("stop".into(), STOPS[die.stop].into()),
                    ("leaves".into(), LEAVES[die.leaves].into()),
                ]
                .into(),
                plates: vec![Plate {
                    file: format!("plates/{}-{}.png", side.word(), die.id),
                    landmarks: marked(&plate_view()),
                    source: "drawn by formula".to_owned(),
                    rights: String::new(),
                }],
            })
            .collect(),
    }
}

/// The set.
pub fn set() -> ReferenceSet {
    let choice = |value: &str| FactChoice {
        value: value.to_owned(),
        words: String::new(),
    };
    let pairing = |catalogue: &str, obverse: &str, reverse: &str, dates: &[&str]| Pairing {
        catalogue: catalogue.to_owned(),
        obverse: obverse.into(),
        reverse: reverse.into(),
        facts: [("date".into(), dates.iter().map(|&d| d.to_owned()).collect())].into(),
        rarity: Some("R2".into()),
        estimated_known: None,
        note: String::new(),
    };
    ReferenceSet {
        format: ReferenceSet::FORMAT,
        id: "tests.stops-and-leaves".to_owned(),
        edition: 1,
        title: "Stops and leaves".to_owned(),
        about: String::new(),
        measures: Measures {
            diameter_mm: DIAMETER,
            relief_mm: None,
            weight_g: Some(7.5),
            weight_tolerance_g: Some(0.2),
            die_axis_deg: Some(180.0),
        },
        facts: vec![
            FactQuestion {
                id: "date".into(),
                question: "Which year does it bear?".to_owned(),
                choices: vec![choice("211"), choice("212"), choice("213")],
            },
            FactQuestion {
                id: "mint".into(),
                question: "Is there a mint mark?".to_owned(),
                choices: vec![choice("no"), choice("ring")],
            },
        ],
        obverse: side_reference(Side::Obverse, &OBVERSE),
        reverse: side_reference(Side::Reverse, &REVERSE),
        pairings: vec![
            pairing("SL 1", "A", "1", &["211"]),
            pairing("SL 2", "B", "1", &["211", "212"]),
            pairing("SL 3", "C", "2", &["212"]),
            pairing("SL 4", "D", "2", &["212", "213"]),
            pairing("SL 5", "E", "3", &["213"]),
        ],
        unlisted: dietell::reference::UnlistedShares::default(),
        rarity_bands: vec![RarityBand {
            id: "R2".into(),
            meaning: "seen now and then".to_owned(),
            at_least: Some(100),
            at_most: Some(1000),
        }],
        price_slope: None,
        cautions: vec!["The set was drawn for tests and covers no coin.".to_owned()],
    }
}

/// The plates' pictures, drawn once for all tests.
fn plates() -> &'static [(Side, &'static str, Arc<Picture>)] {
    static DRAWN: OnceLock<Vec<(Side, &'static str, Arc<Picture>)>> = OnceLock::new();
    let silver = [226.0, 228.0, 232.0];
    DRAWN.get_or_init(|| {
        [(Side::Obverse, &OBVERSE[..]), (Side::Reverse, &REVERSE[..])]
            .into_iter()
            .flat_map(|(side, dies)| dies.iter().map(move |die| (side, die)))
            .map(|(side, die)| {
                let drawn = picture(die, &plate_view(), 620, silver);
                (side, die.id, Arc::new(Picture::new(drawn)))
            })
            .collect()
    })
}

/// The coin's photos, drawn once for all tests.
fn photos() -> &'static [Arc<Picture>; 2] {
    static DRAWN: OnceLock<[Arc<Picture>; 2]> = OnceLock::new();
    DRAWN.get_or_init(|| {
        Side::BOTH.map(|side| {
            let (dies, id) = match side {
                Side::Obverse => (&OBVERSE[..], COIN.0),
                Side::Reverse => (&REVERSE[..], COIN.1),
            };
            let die = dies.iter().find(|die| die.id == id).unwrap();
            let drawn = picture(die, &photo_view(side), 800, [232.0, 214.0, 176.0]);
            Arc::new(Picture::new(drawn))
        })
    })
}

/// The coin's record: photos aligned, nothing judged.
pub fn record() -> SpecimenRecord {
    let side_photo = |side: Side| SidePhoto {
        file: format!("{}.png", side.word()),
        original_name: String::new(),
        sha256: String::new(),
        width_px: 800,
        height_px: 800,
        landmarks: marked(&photo_view(side)),
        held_model: None,
        rim: None,
        fine_shifts: BTreeMap::new(),
    };
    SpecimenRecord {
        format: SpecimenRecord::FORMAT,
        title: "A coin for tests".to_owned(),
        set: SetReference {
            id: "tests.stops-and-leaves".to_owned(),
            edition: 1,
            title: "Stops and leaves".to_owned(),
            place: String::new(),
        },
        obverse: Some(side_photo(Side::Obverse)),
        reverse: Some(side_photo(Side::Reverse)),
        facts: BTreeMap::new(),
        weight_g: None,
        verdicts: Vec::new(),
        measurements: Vec::new(),
        comparisons: Vec::new(),
        grade: String::new(),
        cost: String::new(),
        notes: String::new(),
    }
}

/// A window with the coin on the bench, at a step.
pub fn window(step: Step, record: SpecimenRecord, dialogs: ScriptedDialogs) -> Window {
    let mut window = Window::new(Setup::for_test(dialogs, PathBuf::from("cabinet-of-tests")));
    let set = Arc::new(set());
    window.put_on_bench(OpenedSpecimen {
        folder: None,
        record,
        set: Arc::clone(&set),
        source: None,
        notes: Vec::new(),
    });
    for (side, die, picture) in plates() {
        let key = (*side, (*die).into(), 0);
        window.plates.get(&key);
        let plate = &set.side(*side).die(&key.1).unwrap().plates[0];
        let alignment = pipeline::align_plate(&set, *side, plate).map(Arc::new);
        window
            .plates
            .accept(key, Ok((Arc::clone(picture), Some(alignment))));
    }
    window.plates.take_wanted();
    let bench = window.bench.as_mut().unwrap();
    bench.step = step;
    for (i, side) in Side::BOTH.into_iter().enumerate() {
        if let Some(its) = bench.record().photo(side) {
            bench.photo_files[side] = Some(its.file.clone());
            bench.photos[side] = PictureSlot::Ready(Arc::clone(&photos()[i]));
        }
    }
    window
}

/// The window under test.
pub fn harness<'a>(window: Window, size: (f32, f32)) -> Harness<'a, Window> {
    let mut harness = Harness::builder()
        .with_size(egui::vec2(size.0, size.1))
        .with_max_steps(60)
        // Titles and notes are the user's, in whatever script.
        .allow_missing_glyphs()
        .build_ui_state(
            |ui, window: &mut Window| {
                window.tick(ui.ctx());
                window.frame_ui(ui);
            },
            window,
        );
    harness.run_ok();
    harness
}

/// The coin on the bench at a step, in a usual window.
pub fn opened<'a>(step: Step) -> Harness<'a, Window> {
    harness(
        window(step, record(), ScriptedDialogs::default()),
        (1280.0, 800.0),
    )
}
