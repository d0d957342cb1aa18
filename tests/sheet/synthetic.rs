//! Sheets' content made up for the tests: no set, no photo, any number of anything.

use std::sync::Arc;

use dietell::align::AlignError;
use dietell::crop::CropFrame;
use dietell::evidence::LikelihoodRatio;
use dietell::geometry::{Model, SidePoint, SideVector};
use dietell::pipeline::Missing;
use dietell::problem::Problem;
use dietell::reference::{Side, StatedMeasure};
use dietell::sheet::content::*;
use dietell::specimen::{CannotTell, MeasureKind, Ruling};
use image::{Rgba, RgbaImage};

/// A crop with squares of `square_mm` in two greys, its corner on a square's corner.
pub fn checker(frame: CropFrame, square_mm: f64) -> SheetCrop {
    let square_px = square_mm * frame.px_per_mm;
    let pixels = RgbaImage::from_fn(frame.width_px, frame.height_px, |x, y| {
        let at = |v: u32| ((f64::from(v) + 0.5) / square_px).floor() as i64;
        let v = if (at(x) + at(y)).rem_euclid(2) == 0 {
            0x30
        } else {
            0xd8
        };
        Rgba([v, v, v, 255])
    });
    SheetCrop {
        frame,
        pixels: Arc::new(pixels),
    }
}

/// A crop that looks a little like struck metal: soft ridges that differ by `seed`.
pub fn relief(frame: CropFrame, seed: u32) -> SheetCrop {
    let pixels = RgbaImage::from_fn(frame.width_px, frame.height_px, |x, y| {
        let p = frame.point_on_side(dietell::geometry::CropPoint::new(f64::from(x), f64::from(y)));
        let s = f64::from(seed);
        let wave =
            (p.x * 1.3 + s).sin() * (p.y * 1.1 - s * 0.7).cos() + 0.4 * (p.x * 3.1 - p.y * 2.3 + s).sin();
        let ring = ((p.x.hypot(p.y)) * 2.0).sin() * 0.2;
        let v = (128.0 + 60.0 * (wave + ring)).clamp(0.0, 255.0);
        Rgba([v as u8, (v * 0.93) as u8, (v * 0.80) as u8, 255])
    });
    SheetCrop {
        frame,
        pixels: Arc::new(pixels),
    }
}

pub fn frame(centre: (f64, f64), size_mm: (f64, f64), px_per_mm: f64) -> CropFrame {
    CropFrame {
        centre: SidePoint::new(centre.0, centre.1),
        px_per_mm,
        rotation_deg: 0.0,
        width_px: (size_mm.0 * px_per_mm).round() as u32,
        height_px: (size_mm.1 * px_per_mm).round() as u32,
    }
}

/// How much of everything a sheet has.
#[derive(Debug, Clone)]
pub struct Amounts {
    pub features: usize,
    pub states: usize,
    pub dies: usize,
    pub pairings: usize,
    pub causes: usize,
    /// Repeats of the words in notes, questions and titles.
    pub wordiness: usize,
    /// Zone width and height in mm.
    pub zone: (f64, f64),
    /// Every n-th plate is missing; 0 for none.
    pub missing_plates: usize,
    pub verdicts: bool,
    pub aligned: bool,
    /// A word set into every text.
    pub word: String,
    pub px_per_paper_mm: f64,
}

impl Default for Amounts {
    fn default() -> Self {
        Self {
            features: 12,
            states: 2,
            dies: 4,
            pairings: 8,
            causes: 2,
            wordiness: 1,
            zone: (3.0, 2.2),
            missing_plates: 5,
            verdicts: true,
            aligned: true,
            word: "petal".to_owned(),
            px_per_paper_mm: 300.0 / 25.4,
        }
    }
}

pub fn content(a: &Amounts) -> SheetContent {
    let diameter = 24.0;
    let half = a.features.div_ceil(2);
    let words = |text: &str| vec![text.replace("leaf", &a.word); a.wordiness].join(" ");
    let zone_of = |i: usize| {
        let turn = (i % half.max(1)) as f64 / half.max(1) as f64 * std::f64::consts::TAU;
        (8.5 * turn.cos(), 8.5 * turn.sin())
    };
    let side_of = |i: usize| if i < half { Side::Obverse } else { Side::Reverse };
    let not_aligned = Missing::NotAligned(AlignError::TooFew { needed: 2, given: 1 });
    let sides = Side::BOTH
        .into_iter()
        .map(|side| {
            let numbers: Vec<usize> = (0..a.features).filter(|&i| side_of(i) == side).collect();
            let across = diameter * 1.06;
            let px_per_mm = 3.0 * a.px_per_paper_mm;
            SideContent {
                side,
                picture: if a.aligned {
                    Ok(SidePicture {
                        crop: relief(frame((0.0, 0.0), (across, across), px_per_mm), side as u32),
                        enlargement: 3,
                    })
                } else {
                    Err(not_aligned.clone())
                },
                zones: numbers
                    .iter()
                    .map(|&i| {
                        let (x, y) = zone_of(i);
                        ZoneMark {
                            number: i + 1,
                            title: words("second leaf beside the legend"),
                            centre: SidePoint::new(x, y),
                            size_mm: a.zone,
                        }
                    })
                    .collect(),
                photo: Some(PhotoFile {
                    name: format!("IMG_20260118_{}.jpg", side.word()),
                    sha256: "0123456789abcdef".repeat(4),
                    size_px: (4032, 3024),
                }),
                alignment: if a.aligned {
                    Ok(alignment(&numbers, zone_of, &words))
                } else {
                    Err(not_aligned.clone())
                },
            }
        })
        .collect();
    let features = (0..a.features)
        .map(|i| feature(a, i, side_of(i), zone_of(i), &words))
        .collect();
    SheetContent {
        title: words("Quarter with an open leaf, tray 4"),
        grade: "very fine".to_owned(),
        notes: words("Bought with three others; the leaf is well struck."),
        set_title: "Quarters of an invented isle".to_owned(),
        set_id: "isle-quarters".to_owned(),
        set_edition: 3,
        sides,
        facts: vec![
            FactLine {
                question: "Which date does it bear?".to_owned(),
                answer: words("leaf of 3"),
            },
            FactLine {
                question: "Mint mark".to_owned(),
                answer: "none".to_owned(),
            },
            FactLine {
                question: "Weight".to_owned(),
                answer: "5.62 g (nominal 5.6 \u{b1} 0.2 g)".to_owned(),
            },
        ],
        comparisons: Side::BOTH
            .into_iter()
            .filter(|_| a.verdicts)
            .map(|side| ComparisonContent {
                side,
                other: words("A coin with a leaf from the fair"),
                other_photo: words("leaf.jpg"),
                other_sha256: "fedcba9876543210".repeat(4),
                conclusion: Some("same die, this coin earlier".to_owned()),
                note: words("The crack beside the leaf has grown."),
                findings: (0..a.features)
                    .map(|n| FindingRow {
                        spot: words("second leaf beside the legend"),
                        found: "differs here".to_owned(),
                        kind: "die state, on the other coin".to_owned(),
                        place: "\u{b1} 0.052 mm".to_owned(),
                        note: words("longer by a leaf"),
                        crops: (n % 3 > 0).then(|| PairCrops {
                            this: Ok(relief(frame(zone_of(n), (4.0, 3.0), 10.0 * a.px_per_paper_mm), 1)),
                            other: if n % 3 == 1 {
                                Ok(relief(frame(zone_of(n), (4.0, 3.0), 10.0 * a.px_per_paper_mm), 2))
                            } else {
                                Err(Missing::Unreadable(Problem::new(words(
                                    "The other coin has another leaf now.",
                                ))))
                            },
                            enlargement: 10,
                            radius95_mm: Some(0.05),
                            light_evened: (n % 2 == 0).then_some(0.6),
                        }),
                    })
                    .collect(),
                measures: vec![words(
                    "Distance, on this coin, second leaf: 1.204 \u{b1} 0.031 mm",
                )],
                cautions: vec![words("Agreement is no proof of one leaf.")],
            })
            .collect(),
        features,
        dies: (0..2 * a.dies)
            .map(|i| DieRow {
                side: if i < a.dies { Side::Obverse } else { Side::Reverse },
                die: format!("{}{}", if i < a.dies { "O" } else { "R" }, i % a.dies.max(1) + 1),
                probability: if i % a.dies.max(1) == 0 { 0.9994 } else { 0.0002 },
                supporting: 3,
                out: if i % a.dies.max(1) == 0 {
                    vec![]
                } else {
                    vec![words("The coin shows an open leaf and this die a closed one."); a.causes]
                },
                doubts: Vec::new(),
            })
            .collect(),
        pairings: (0..a.pairings)
            .map(|i| PairingRow {
                catalogue: format!("IQ-{}", i + 1),
                obverse: format!("O{}", i % a.dies.max(1) + 1),
                reverse: format!("R{}", i / a.dies.max(1) + 1),
                rarity: "R5".to_owned(),
                probability: if i == 0 { 0.9989 } else { 0.0001 },
                out: if i == 0 {
                    vec![]
                } else {
                    vec![
                        words(
                            "Its obverse die is out: the coin shows an open leaf and this die a closed one."
                        );
                        a.causes
                    ]
                },
            })
            .collect(),
        prior: "All listed pairings counted alike before the facts and verdicts.".to_owned(),
        outcome: OutcomeContent {
            kind: if a.verdicts {
                OutcomeKind::Settled
            } else {
                OutcomeKind::Open
            },
            meaning: "One listed pairing is left, and the evidence for it is strong.".to_owned(),
            dies: a.verdicts.then(|| ("O1".to_owned(), "R1".to_owned())),
            catalogue: a.verdicts.then(|| "IQ-1".to_owned()),
            note: words("Struck first from fresh dies, leaf sharp."),
            rarity: a
                .verdicts
                .then(|| ("R5".to_owned(), "31 to 75 thought to exist".to_owned())),
            ratio: a.verdicts.then_some(LikelihoodRatio { log10: 3.2 }),
            explanation: vec![words("It alone fits all facts and verdicts on the leaf.")],
        },
        coin_cautions: vec![words(
            "The coin weighs 5.9 g, more than the set\u{2019}s 5.6 g on the leaf.",
        )],
        cautions: vec![words("Cast copies with the leaf filled are known.")],
    }
}

fn alignment(
    numbers: &[usize],
    zone_of: impl Fn(usize) -> (f64, f64),
    words: &impl Fn(&str) -> String,
) -> AlignmentContent {
    AlignmentContent {
        diameter_mm: 24.0,
        model: Model::Homography,
        held: false,
        noise_px: 1.31,
        px_per_mm: 71.4,
        landmarks: (0..6)
            .map(|i| {
                let v = f64::from(i);
                LandmarkRow {
                    name: words("tip of the leaf"),
                    residual_px: (0.7 * v.sin(), 0.9 * v.cos()),
                    residual_mm: 0.013,
                    place: Some(SidePoint::new(
                        10.5 * (v * 1.05 + 0.5).cos(),
                        10.5 * (v * 1.05 + 0.5).sin(),
                    )),
                    residual_on_side: Some(SideVector::new(0.010 * v.sin(), 0.012 * v.cos())),
                    left_out_px: (i != 3).then_some(1.8 + 0.2 * v),
                    disagrees: i == 4,
                }
            })
            .collect(),
        advice: vec!["Placing \u{201c}centre of the date\u{201d} next would help most.".to_owned()],
        zones: numbers
            .iter()
            .map(|&i| ZoneRow {
                number: i + 1,
                title: words("second leaf beside the legend"),
                centre: {
                    let (x, y) = zone_of(i);
                    SidePoint::new(x, y)
                },
                px_per_mm: 71.0,
                radius95_mm: if i == 2 { 0.21 } else { 0.052 },
                telling_detail_mm: 0.12,
            })
            .collect(),
    }
}

fn feature(
    a: &Amounts,
    i: usize,
    side: Side,
    centre: (f64, f64),
    words: &impl Fn(&str) -> String,
) -> FeatureContent {
    let shown = (a.zone.0 * 1.5, a.zone.1 * 1.5);
    let times = dietell::sheet::enlargement(shown, dietell::sheet::style::crop_room(1 + a.states));
    let px_per_mm = f64::from(times) * a.px_per_paper_mm;
    let frame = frame(centre, shown, px_per_mm);
    let rulings = [
        Some(Ruling::Agrees),
        Some(Ruling::Differs),
        Some(Ruling::CannotTell(CannotTell::Wear)),
        None,
    ];
    FeatureContent {
        side,
        label: format!("{}", i + 1),
        question: words("Is the second leaf open or closed?"),
        zone_title: words("second leaf beside the legend"),
        zone_centre: SidePoint::new(centre.0, centre.1),
        zone_size_mm: a.zone,
        telling_detail_mm: 0.12,
        coin: if a.aligned {
            Ok(relief(frame, 3))
        } else {
            Err(Missing::NotAligned(AlignError::TooFew { needed: 2, given: 1 }))
        },
        radius95_mm: a.aligned.then_some(if i == 2 { 0.21 } else { 0.052 }),
        light_evened: (i == 1).then_some(0.6),
        fine_shift: (i == 1).then_some(SideVector::new(0.031, -0.012)),
        enlargement: times,
        states: (0..a.states)
            .map(|s| {
                let missing = a.missing_plates > 0 && (i * a.states + s) % a.missing_plates == 4;
                StateContent {
                    words: words(if s == 0 {
                        "The leaf is open at its tip"
                    } else {
                        "The leaf is closed"
                    }),
                    dies: vec![format!("O{}", s + 1), format!("O{}", s + 3)],
                    plate: if missing {
                        None
                    } else {
                        Some(PlateContent {
                            crop: if i == 7 {
                                Err(Missing::Unreadable(Problem::new(
                                    "The picture plates/o2.jpg could not be read: the file is missing.",
                                )))
                            } else {
                                Ok(relief(frame, 3 + s as u32))
                            },
                            die: format!("O{}", s + 1),
                            credit: "Photographed by the set\u{2019}s author; free to share".to_owned(),
                            radius95_mm: a.aligned.then_some(0.061),
                        })
                    },
                    stated: (i == 0).then(|| StatedMeasure::DistanceMm {
                        what: "tip to border".to_owned(),
                        value: 0.42,
                        tolerance: 0.05,
                    }),
                    verdict: if a.verdicts { rulings[(s + i) % 4] } else { None }.map(|ruling| {
                        VerdictContent {
                            ruling,
                            note: if s == 0 {
                                words("The leaf\u{2019}s tip shows under raking light.")
                            } else {
                                String::new()
                            },
                        }
                    }),
                }
            })
            .collect(),
        measures: if i == 0 {
            vec![MeasureContent {
                fits: Vec::new(),
                contradicts: Vec::new(),
                kind: MeasureKind::Distance,
                value: 0.437,
                uncertainty: Some(0.021),
                points: vec![
                    SidePoint::new(centre.0 - 0.3, centre.1),
                    SidePoint::new(centre.0 + 0.13, centre.1 + 0.1),
                ],
                note: words("leaf tip to border"),
            }]
        } else {
            vec![]
        },
        remarks: vec![],
    }
}
