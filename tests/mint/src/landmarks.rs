//! The demo coinage's landmarks: places of the drawing that no die changes.

use super::obverse::{self, Obverse};
use super::reverse::{self, Reverse};
use super::shapes::P;
use super::{fern, lantern};
use dietell::geometry::SidePoint;
use dietell::reference::{Landmark, LandmarkName, Side};

/// The landmarks of one side, with their places in side mm.
#[must_use]
pub fn landmarks(side: Side) -> Vec<Landmark> {
    match side {
        Side::Obverse => obverse_landmarks(),
        Side::Reverse => reverse_landmarks(),
    }
}

fn landmark(name: &str, p: P, hint: &str) -> Landmark {
    Landmark {
        name: LandmarkName::from(name),
        place_mm: rounded(p),
        height: None,
        hint: hint.to_owned(),
    }
}

/// To the nearest micrometre, so that the written set holds exactly the same places.
pub(super) fn rounded(p: P) -> SidePoint {
    let round = |v: f32| (f64::from(v) * 1000.0).round() / 1000.0;
    SidePoint::new(round(p[0]), round(p[1]))
}

fn obverse_landmarks() -> Vec<Landmark> {
    let drawing = Obverse::drawing();
    let beads = drawing.beads();
    let shell = &drawing.shell;
    vec![
        landmark(
            "H of HARBOUR, outer foot",
            drawing.letter(obverse::H_OF_HARBOUR).corner(-1.0, -0.6),
            "The outer tip of the serif at the foot of the H's first stem.",
        ),
        landmark(
            "B of HARBOUR, foot",
            drawing.letter(obverse::B_OF_HARBOUR).corner(-1.0, -0.6),
            "The tip of the serif at the foot of the B's stem.",
        ),
        landmark(
            "T of TOWN, first arm",
            drawing.letter(obverse::T_OF_TOWN).corner(-1.0, 0.7),
            "The upper tip of the T's arm on the side of the first stop.",
        ),
        landmark(
            "second stop",
            drawing.stop(1),
            "The middle of the stop between TOWN and OF.",
        ),
        landmark(
            "third stop",
            drawing.stop(2),
            "The middle of the stop between OF and ORLEVAY.",
        ),
        landmark(
            "L of ORLEVAY, foot",
            drawing.letter(obverse::L_OF_ORLEVAY).corner(-1.0, -0.6),
            "The tip of the serif at the foot of the L's stem, on the side of the R.",
        ),
        landmark(
            "A of ORLEVAY, last foot",
            drawing.letter(obverse::A_OF_ORLEVAY).corner(1.0, -0.6),
            "The outer tip of the serif under the A's thick leg.",
        ),
        landmark(
            "eye of the shell",
            shell.pole,
            "The point on which the spiral closes.",
        ),
        landmark(
            "end of the shell's wall",
            shell.point(Obverse::lip_end(), 0.0),
            "The corner where the outer wall ends at the lip.",
        ),
        landmark(
            "last septum at the outer wall",
            shell.septum_foot(0, 0.0),
            "Where the line that closes the living chamber meets the outer wall.",
        ),
        landmark(
            "ninth septum at the outer wall",
            shell.septum_foot(8, 0.0),
            "The ninth line from the living chamber, where it meets the outer wall.",
        ),
        landmark(
            "first bead of the lip",
            beads[0],
            "The middle of the bead next to the end of the outer wall.",
        ),
        landmark(
            "star at the foot",
            obverse::COMPASS,
            "The middle of the four-pointed star.",
        ),
        landmark(
            "left end of the upper wave",
            obverse::wave_place(false, 0.0),
            "The very tip of the line.",
        ),
        landmark(
            "right end of the upper wave",
            obverse::wave_place(false, 1.0),
            "The very tip of the line.",
        ),
    ]
}

fn reverse_landmarks() -> Vec<Landmark> {
    let drawing = Reverse::drawing();
    vec![
        landmark(
            "middle of the bail ring",
            lantern::RING,
            "The middle of the opening of the ring at the top.",
        ),
        landmark(
            "left end of the roof",
            [-lantern::ROOF_REACH, lantern::ROOF_Y],
            "The lower corner of the roof's eave.",
        ),
        landmark(
            "right end of the roof",
            [lantern::ROOF_REACH, lantern::ROOF_Y],
            "The lower corner of the roof's eave.",
        ),
        landmark("tip of the flame", lantern::FLAME_TIP, "The very tip."),
        landmark(
            "left rivet of the collar",
            [-1.1, lantern::RIVET_Y],
            "The middle of the outer rivet.",
        ),
        landmark(
            "right rivet of the collar",
            [1.1, lantern::RIVET_Y],
            "The middle of the outer rivet.",
        ),
        landmark(
            "left corner of the foot",
            [-lantern::FOOT_REACH, lantern::FOOT_Y],
            "The lower corner of the lantern's foot.",
        ),
        landmark(
            "right corner of the foot",
            [lantern::FOOT_REACH, lantern::FOOT_Y],
            "The lower corner of the lantern's foot.",
        ),
        landmark(
            "right end of the exergue line",
            [reverse::EXERGUE_REACH, reverse::EXERGUE_Y],
            "The middle of the line's end.",
        ),
        landmark(
            "tip of the left frond",
            fern::frond_tip(-1.0),
            "The tip of the topmost leaf.",
        ),
        landmark(
            "tip of the right frond",
            fern::frond_tip(1.0),
            "The tip of the topmost leaf.",
        ),
        landmark(
            "F of FIVE, foot",
            drawing.five[0].corner(-1.0, -0.6),
            "The outer tip of the serif at the F's foot.",
        ),
        landmark(
            "E of FIVE, lower arm",
            drawing.five[3].corner(1.0, -0.5),
            "The tip of the E's lowest arm.",
        ),
        landmark(
            "V of VARN, foot",
            drawing.varn[0].corner(0.0, -1.0),
            "The point on which the V stands.",
        ),
        landmark(
            "N of VARN, last head",
            drawing.varn[3].corner(1.0, 0.6),
            "The outer tip of the serif at the head of the N's last stem.",
        ),
    ]
}
