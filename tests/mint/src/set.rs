//! The demo's reference set, made from the same drawing and dies as its pictures.

use std::collections::BTreeMap;

use super::die::{DieDesign, dies};
use super::features::{obverse_features, obverse_zones, reverse_features, reverse_zones};
use super::landmarks::landmarks;
use super::plates::{PLATE_PX, plate_camera, plate_file};
use dietell::geometry::PicturePoint;
use dietell::reference::{
    Die, DieId, FactChoice, FactId, FactQuestion, Feature, Measures, Pairing, Plate, PriceSlope, RarityBand,
    RarityId, ReferenceSet, Side, SideReference, Zone,
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
            relief_mm: None,
            weight_g: Some(8.4),
            weight_tolerance_g: Some(0.25),
            die_axis_deg: Some(180.0),
        },
        facts: facts(),
        obverse: side(Side::Obverse, obverse_zones(), obverse_features()),
        reverse: side(Side::Reverse, reverse_zones(), reverse_features()),
        pairings: pairings(),
        unlisted: dietell::reference::UnlistedShares::default(),
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
