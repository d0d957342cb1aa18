//! Published scales as check values.

use dietell::evidence::{LikelihoodRatio, VerbalScale};
use dietell::reference::{RarityBand, ReferenceSet};

use super::builder::worked;

/// ENFSI Guideline for Evaluative Reporting in Forensic Science, 2015, table of verbal equivalents; from memory.
const ENFSI_2015: [(f64, f64, &str); 6] = [
    (2.0, 10.0, "weak support"),
    (10.0, 100.0, "moderate support"),
    (100.0, 1_000.0, "moderately strong support"),
    (1_000.0, 10_000.0, "strong support"),
    (10_000.0, 1_000_000.0, "very strong support"),
    (1_000_000.0, f64::INFINITY, "extremely strong support"),
];

fn ratio(value: f64) -> LikelihoodRatio {
    LikelihoodRatio { log10: value.log10() }
}

#[test]
fn ratios_have_the_published_words() {
    for (from, to, words) in ENFSI_2015 {
        for value in [from, from * 1.5, to.min(1e9) * 0.999] {
            assert_eq!(ratio(value).verbal().words(), words, "{value}");
        }
    }
    assert_eq!(ratio(1.0).verbal(), VerbalScale::NoSupport);
    assert_eq!(ratio(0.01).verbal(), VerbalScale::NoSupport);
    assert_eq!(
        LikelihoodRatio { log10: f64::NAN }.verbal(),
        VerbalScale::NoSupport
    );
}

#[test]
fn ratios_read_as_numbers_of_two_digits() {
    let texts = [1.0, 9.0, 19.0, 361.2, 1234.0, 987_654.0, 3e6].map(|value| ratio(value).to_string());
    assert_eq!(
        texts,
        [
            "1.0",
            "9.0",
            "19",
            "360",
            "1,200",
            "990,000",
            "more than 1,000,000"
        ]
    );
}

#[test]
fn a_set_can_carry_a_published_rarity_scale() {
    // The eight-step scale of W. H. Sheldon (first published 1949), numbers of specimens known; from memory.
    let published: [(&str, Option<u32>, Option<u32>); 8] = [
        ("R1", Some(1250), None),
        ("R2", Some(501), Some(1250)),
        ("R3", Some(201), Some(500)),
        ("R4", Some(76), Some(200)),
        ("R5", Some(31), Some(75)),
        ("R6", Some(13), Some(30)),
        ("R7", Some(4), Some(12)),
        ("R8", Some(1), Some(3)),
    ];
    let mut set = worked();
    set.rarity_bands = published
        .map(|(id, at_least, at_most)| RarityBand {
            id: id.into(),
            meaning: format!("{id} of eight"),
            at_least,
            at_most,
        })
        .to_vec();
    set.pairings[0].rarity = Some("R5".into());
    let text = ron::to_string(&set).unwrap();
    let read: ReferenceSet = ron::from_str(&text).unwrap();
    let band = read
        .rarity_band(read.pairings[0].rarity.as_ref().unwrap())
        .unwrap();
    assert_eq!((band.at_least, band.at_most), (Some(31), Some(75)));
    for pair in read.rarity_bands.windows(2).skip(1) {
        assert_eq!(
            pair[0].at_least,
            pair[1].at_most.map(|most| most + 1),
            "bands meet"
        );
    }
}
