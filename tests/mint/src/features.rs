//! Where the dies of the demo coinage differ, and what to ask there.

use super::landmarks::rounded;
use super::obverse::{self, Obverse};
use super::reverse::{self, Reverse};
use super::shapes::P;
use super::{fern, lantern};
use dietell::reference::{Feature, FeatureId, State, StateId, StatedMeasure, Zone, ZoneId};

fn zone(id: &str, title: &str, centre: P, size_mm: (f64, f64), telling_detail_mm: f64) -> Zone {
    Zone {
        id: ZoneId::from(id),
        title: title.to_owned(),
        centre_mm: rounded(centre),
        size_mm,
        height: None,
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

/// Where the obverse dies differ.
pub(super) fn obverse_zones() -> Vec<Zone> {
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

/// What to ask there.
pub(super) fn obverse_features() -> Vec<Feature> {
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

/// Where the reverse dies differ.
pub(super) fn reverse_zones() -> Vec<Zone> {
    let drawing = Reverse::drawing();
    let f = drawing.five[0].place(0.0, 1.0);
    let numeral = Reverse::date("417")[2].place(0.0, 0.5);
    let break_at = lantern::bar_place(lantern::BROKEN_BAR, lantern::BREAK_Y);
    let leaf_tip = fern::leaf(-1.0, fern::LACKING_LEAF, true).middle();
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
            [0.0, lantern::RIVET_Y],
            (4.2, 1.8),
            0.25,
        ),
    ]
}

/// What to ask there.
pub(super) fn reverse_features() -> Vec<Feature> {
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
