//! The demo's reference set, made from the same drawing and dies as its pictures.

use std::collections::BTreeMap;

use super::die::{DieDesign, dies};
use super::landmarks::{landmarks, rounded};
use super::obverse::{self, Obverse};
use super::plates::{PLATE_PX, plate_camera, plate_file};
use super::reverse::{self, Reverse};
use super::shapes::P;
use crate::geometry::PicturePoint;
use crate::reference::{
    Die, DieId, FactChoice, FactId, FactQuestion, Feature, FeatureId, Measures, Pairing, Plate, PriceSlope,
    RarityBand, RarityId, ReferenceSet, Side, SideReference, State, StateId, StatedMeasure, Zone, ZoneId,
};

/// The demo's reference set.
#[must_use]
pub fn demo_set() -> ReferenceSet {
    ReferenceSet {
        format: ReferenceSet::FORMAT,
        id: "orlevay-five-varn".to_owned(),
        edition: 1,
        title: "Orlevay, five varn, years 412 to 417".to_owned(),
        about: "An invented coinage of an invented harbour town, made to learn the bench with. Every picture in it \
                is computed."
            .to_owned(),
        measures: Measures {
            diameter_mm: 28.0,
            weight_g: Some(8.4),
            weight_tolerance_g: Some(0.25),
            die_axis_deg: Some(180.0),
        },
        facts: facts(),
        obverse: side(Side::Obverse, obverse_zones(), obverse_features()),
        reverse: side(Side::Reverse, reverse_zones(), reverse_features()),
        pairings: pairings(),
        rarity_bands: rarity_bands(),
        price_slope: Some(PriceSlope {
            source: "Set by hand for the demo: no market stands behind it.".to_owned(),
            steps: [("poor", 0.4), ("worn", 0.65), ("fair", 1.0), ("fine", 1.7), ("choice", 3.0), ("as struck", 5.5)]
                .map(|(grade, price)| (grade.to_owned(), price))
                .to_vec(),
        }),
        cautions: vec![
            "This coinage is invented; the set is for learning and testing.".to_owned(),
            "An attribution is an opinion on dies, not proof that a coin is genuine.".to_owned(),
            "Do not clean a coin to see a feature better: look again in other light.".to_owned(),
            "O2 and O3 differ in one septum only, R4 and R5 in the last numeral only.".to_owned(),
        ],
    }
}

fn facts() -> Vec<FactQuestion> {
    let choice = |value: &str, words: &str| FactChoice {
        value: value.to_owned(),
        words: words.to_owned(),
    };
    vec![
        FactQuestion {
            id: FactId::from("date"),
            question: "Which year stands in the exergue?".to_owned(),
            choices: ["412", "415", "417"].map(|y| choice(y, "")).to_vec(),
        },
        FactQuestion {
            id: FactId::from("mint-mark"),
            question: "Which mint mark stands below the year?".to_owned(),
            choices: vec![
                choice("none", "no mark"),
                choice("star", "a star"),
                choice("K", "the letter K"),
            ],
        },
    ]
}

fn side(side: Side, zones: Vec<Zone>, features: Vec<Feature>) -> SideReference {
    SideReference {
        landmarks: landmarks(side),
        zones,
        features,
        dies: dies(side).iter().map(die).collect(),
    }
}

fn die(design: &DieDesign) -> Die {
    let camera = plate_camera(design.side, &design.id, PLATE_PX);
    let plate = camera.truth().ok().map(|truth| Plate {
        file: plate_file(design.side, &design.id),
        landmarks: landmarks(design.side)
            .into_iter()
            .map(|l| {
                let p = truth.point_in_picture(l.place_mm);
                let round = |v: f64| (v * 100.0).round() / 100.0;
                (l.name, PicturePoint::new(round(p.x), round(p.y)))
            })
            .collect(),
        source: "Computed by the demo mint from the die's own drawing.".to_owned(),
        rights: "Free to use with this program, under its licence.".to_owned(),
    });
    Die {
        id: design.id.clone(),
        note: note(design).to_owned(),
        shows: design.states.clone(),
        plates: plate.into_iter().collect(),
    }
}

fn note(design: &DieDesign) -> &'static str {
    match design.id.as_str() {
        "O1" => "The first obverse; the first stop is tight against the R.",
        "O2" => "The commonest obverse.",
        "O3" => "As O2 in all but one septum, which stops short of the outer wall.",
        "O4" => "Recut after long use: the U of HARBOUR shows doubled.",
        "O5" => "The last obverse; cracked early and used until it broke.",
        "R1" => "Year 412 without a mint mark.",
        "R2" => "Year 412 with a star.",
        "R3" => "Year 415 with a star; the A of VARN was never given its bar.",
        "R4" => "Year 417 with a K.",
        "R5" => "As R4 in all but the 7, which was cut over a shifted one.",
        _ => "",
    }
}

fn zone(id: &str, title: &str, centre: P, size_mm: (f64, f64), telling_detail_mm: f64) -> Zone {
    Zone {
        id: ZoneId::from(id),
        title: title.to_owned(),
        centre_mm: rounded(centre),
        size_mm,
        telling_detail_mm,
    }
}

fn feature(id: &str, zone: &str, question: &str, reliability: f64, states: &[(&str, &str)]) -> Feature {
    Feature {
        id: FeatureId::from(id),
        question: question.to_owned(),
        zone: ZoneId::from(zone),
        reliability,
        states: states
            .iter()
            .map(|(id, words)| State {
                id: StateId::from(*id),
                words: (*words).to_owned(),
                stated: None,
            })
            .collect(),
    }
}

fn stated(mut feature: Feature, measures: &[(&str, &str, f64, f64)]) -> Feature {
    for (state, what, value, tolerance) in measures {
        if let Some(found) = feature.states.iter_mut().find(|s| s.id.as_str() == *state) {
            found.stated = Some(StatedMeasure::DistanceMm {
                what: (*what).to_owned(),
                value: *value,
                tolerance: *tolerance,
            });
        }
    }
    feature
}

fn obverse_zones() -> Vec<Zone> {
    let drawing = Obverse::drawing();
    let y = drawing.letter(obverse::Y_OF_ORLEVAY).place(0.0, 1.0);
    let beads = drawing.beads();
    let (from, to) = obverse::crack_ends();
    vec![
        zone(
            "first-stop",
            "The stop between HARBOUR and TOWN",
            drawing.first_stop(0.0),
            (3.2, 2.4),
            0.2,
        ),
        zone(
            "septum",
            "The fifth septum from the living chamber, at the outer wall",
            drawing.shell.septum_foot(obverse::OPEN_SEPTUM, 0.09),
            (2.6, 2.6),
            0.2,
        ),
        zone(
            "lower-wave",
            "The middle of the lower wave",
            [0.0, 8.6],
            (4.4, 2.2),
            0.16,
        ),
        zone(
            "lip",
            "The beads of the shell's lip",
            beads[obverse::LACKING_BEAD],
            (2.4, 2.4),
            0.25,
        ),
        zone(
            "teeth-at-y",
            "The border over the Y of ORLEVAY",
            [y[0] * 1.03, y[1] * 1.03],
            (3.0, 3.0),
            0.15,
        ),
        zone(
            "e-of-orlevay",
            "The E of ORLEVAY and its neighbours",
            drawing.letter(obverse::E_OF_ORLEVAY).place(0.0, 0.5),
            (4.0, 4.0),
            0.15,
        ),
        zone(
            "u-of-harbour",
            "The U of HARBOUR",
            drawing.letter(obverse::U_OF_HARBOUR).place(0.0, 0.5),
            (2.8, 2.8),
            0.12,
        ),
        zone(
            "crack",
            "The field and rim before the O of OF",
            [0.5 * (from[0] + to[0]), 0.5 * (from[1] + to[1])],
            (4.6, 4.6),
            0.1,
        ),
    ]
}

fn obverse_features() -> Vec<Feature> {
    vec![
        stated(
            feature(
                "first-stop",
                "first-stop",
                "Where does the first stop stand between the R of HARBOUR and the T of TOWN?",
                0.95,
                &[
                    ("near-r", "near the R"),
                    ("central", "midway"),
                    ("near-t", "near the T"),
                ],
            ),
            &obverse::first_stop_measures(),
        ),
        feature(
            "septum",
            "septum",
            "Does the fifth septum reach the outer wall?",
            0.9,
            &[
                ("closed", "it joins the wall"),
                ("open", "it stops short, with a clear gap"),
            ],
        ),
        feature(
            "lower-wave",
            "lower-wave",
            "How heavy is the lower wave in its middle?",
            0.85,
            &[
                ("thin", "as thin as towards its ends"),
                ("heavy", "clearly heavier than towards its ends"),
            ],
        ),
        feature(
            "lip-beads",
            "lip",
            "Is the row of beads along the shell's lip whole?",
            0.93,
            &[
                ("whole", "no gap in the row"),
                ("lacking", "one bead is lacking in the middle of the row"),
            ],
        ),
        feature(
            "teeth-at-y",
            "teeth-at-y",
            "How many border teeth stand over the Y of ORLEVAY?",
            0.85,
            &[
                ("four", "four, as wide as all others"),
                ("five", "five, narrower than the others"),
            ],
        ),
        stated(
            feature(
                "e-height",
                "e-of-orlevay",
                "How does the E of ORLEVAY stand between the L and the V?",
                0.9,
                &[
                    ("level", "level with them"),
                    ("high", "higher, nearer the border"),
                ],
            ),
            &[
                ("level", "foot of the E above the feet of L and V", 0.0, 0.05),
                (
                    "high",
                    "foot of the E above the feet of L and V",
                    f64::from(obverse::E_RAISED_MM),
                    0.05,
                ),
            ],
        ),
        feature(
            "u-cut",
            "u-of-harbour",
            "Is the U of HARBOUR cut once?",
            0.92,
            &[
                ("single", "one clean outline"),
                ("doubled", "an earlier U shows to the left and below"),
            ],
        ),
        feature(
            "crack",
            "crack",
            "Does a die crack run from the rim before the O of OF?",
            // A crack grows while a die is used, so its absence tells less than its presence.
            0.8,
            &[
                ("none", "no raised line"),
                ("cracked", "a fine raised line from the rim into the field"),
            ],
        ),
    ]
}

fn reverse_zones() -> Vec<Zone> {
    let drawing = Reverse::drawing();
    let f = drawing.five[0].place(0.0, 1.0);
    let numeral = Reverse::date("417")[2].place(0.0, 0.5);
    let break_at = reverse::bar_place(reverse::BROKEN_BAR, reverse::BREAK_Y);
    let leaf_tip = reverse::leaf(-1.0, reverse::LACKING_LEAF, true).middle();
    vec![
        zone(
            "left-frond",
            "The outer leaves of the left frond, at half height",
            leaf_tip,
            (3.2, 3.2),
            0.25,
        ),
        zone(
            "cage",
            "The third bar of the cage, in its lower half",
            break_at,
            (2.4, 2.4),
            0.2,
        ),
        zone("flame", "The flame", [0.0, 0.6], (2.4, 3.6), 0.12),
        zone(
            "last-numeral",
            "The last numeral of the year",
            [numeral[0], numeral[1]],
            (3.0, 3.0),
            0.12,
        ),
        zone(
            "exergue",
            "The left end of the exergue line",
            [-reverse::EXERGUE_REACH - 0.6, reverse::EXERGUE_Y],
            (3.2, 2.4),
            0.2,
        ),
        zone(
            "a-of-varn",
            "The A of VARN",
            drawing.varn[1].place(0.0, 0.45),
            (2.8, 2.8),
            0.15,
        ),
        zone(
            "teeth-at-f",
            "The border over the F of FIVE",
            [f[0] * 1.04, f[1] * 1.04],
            (3.0, 3.0),
            0.15,
        ),
        zone(
            "collar",
            "The rivets of the lantern's collar",
            [0.0, reverse::RIVET_Y],
            (4.2, 1.8),
            0.25,
        ),
    ]
}

fn reverse_features() -> Vec<Feature> {
    vec![
        feature(
            "leaf",
            "left-frond",
            "Are the outer leaves of the left frond complete?",
            0.93,
            &[
                ("present", "an unbroken row"),
                ("lacking", "one leaf is lacking: a gap twice as wide"),
            ],
        ),
        feature(
            "cage-bar",
            "cage",
            "Is the third bar of the cage whole?",
            0.9,
            &[("whole", "unbroken"), ("broken", "a gap below the middle hoop")],
        ),
        feature(
            "flame",
            "flame",
            "Is there a line inside the flame?",
            0.88,
            &[
                ("plain", "the flame is smooth"),
                ("lined", "an incised line rises inside it"),
            ],
        ),
        feature(
            "last-numeral",
            "last-numeral",
            "Is the last numeral cut once?",
            0.9,
            &[
                ("clean", "one clean outline"),
                ("recut", "an earlier numeral shows to the right and above"),
            ],
        ),
        feature(
            "exergue-line",
            "exergue",
            "Does the exergue line reach the border teeth at the left?",
            0.93,
            &[
                ("short", "it ends well before them"),
                ("touching", "it runs into them"),
            ],
        ),
        feature(
            "a-of-varn",
            "a-of-varn",
            "Has the A of VARN its bar?",
            0.92,
            &[("barred", "a bar joins the legs"), ("unbarred", "no bar")],
        ),
        feature(
            "teeth-at-f",
            "teeth-at-f",
            "How many border teeth stand over the F of FIVE?",
            0.85,
            &[
                ("four", "four, as wide as all others"),
                ("five", "five, narrower than the others"),
            ],
        ),
        feature(
            "collar-rivets",
            "collar",
            "How many rivets has the lantern's collar?",
            0.92,
            &[("three", "three"), ("two", "two: none in the middle")],
        ),
    ]
}

fn pairings() -> Vec<Pairing> {
    let rows = [
        (
            "OFV 1",
            "O1",
            "R1",
            "scarce",
            340.0,
            "The first issue, before mint marks.",
        ),
        ("OFV 2", "O2", "R1", "common", 2600.0, ""),
        (
            "OFV 3",
            "O2",
            "R2",
            "plentiful",
            7400.0,
            "The coin most often met.",
        ),
        (
            "OFV 4",
            "O3",
            "R2",
            "very-scarce",
            95.0,
            "Passes for OFV 3 until the septum is looked at.",
        ),
        ("OFV 5", "O3", "R3", "common", 1900.0, ""),
        ("OFV 6", "O4", "R3", "scarce", 420.0, ""),
        ("OFV 7", "O4", "R4", "common", 1500.0, ""),
        (
            "OFV 8",
            "O5",
            "R5",
            "rare",
            14.0,
            "The recut 7 with the cracked obverse; the crack is longest here.",
        ),
    ];
    let reverses: BTreeMap<DieId, DieDesign> = dies(Side::Reverse)
        .into_iter()
        .map(|d| (d.id.clone(), d))
        .collect();
    rows.into_iter()
        .map(|(catalogue, obverse, reverse, rarity, known, note)| {
            let reverse = DieId::from(reverse);
            let facts = reverses.get(&reverse).map_or_else(BTreeMap::new, |die| {
                BTreeMap::from([
                    (FactId::from("date"), vec![die.date.clone()]),
                    (FactId::from("mint-mark"), vec![die.mint_mark.clone()]),
                ])
            });
            Pairing {
                catalogue: catalogue.to_owned(),
                obverse: DieId::from(obverse),
                reverse,
                facts,
                rarity: Some(RarityId::from(rarity)),
                estimated_known: Some(known),
                note: note.to_owned(),
            }
        })
        .collect()
}

fn rarity_bands() -> Vec<RarityBand> {
    let band = |id: &str, meaning: &str, at_least, at_most| RarityBand {
        id: RarityId::from(id),
        meaning: meaning.to_owned(),
        at_least,
        at_most,
    };
    vec![
        band(
            "plentiful",
            "in most dealers' trays; more than 5,000 thought to exist",
            Some(5_001),
            None,
        ),
        band(
            "common",
            "met every month by those who look; 1,001 to 5,000",
            Some(1_001),
            Some(5_000),
        ),
        band(
            "scarce",
            "met a few times a year; 201 to 1,000",
            Some(201),
            Some(1_000),
        ),
        band(
            "very-scarce",
            "met once in some years; 31 to 200",
            Some(31),
            Some(200),
        ),
        band("rare", "known by count; 6 to 30", Some(6), Some(30)),
        band("very-rare", "five or fewer known", Some(1), Some(5)),
    ]
}
