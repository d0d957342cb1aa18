//! Whether the landmarks of a side's plates agree: on each plate with one another, and over all plates with the set.

use std::collections::BTreeMap;

use super::choose::flipped;
use super::{Marked, align};
use crate::geometry::{Correspondence, Model, PictureFromSide, PicturePoint, SidePoint, SideVector, fit};
use crate::reference::{Landmark, LandmarkName, Measures};

/// Landmarks this far from where others put them do not agree with them in any view: what a tilt of 25 degrees does to
/// a similarity, as a share of the diameter.
const GROSS_SHARE: f64 = 0.07;
/// Two landmarks nearer than this share of the diameter fix no similarity worth trying.
const APART_SHARE: f64 = 0.15;
/// Pairs are tried among this many landmarks at most.
const MOST_TRIED: usize = 24;
/// The fewest landmarks that can contradict each other.
const FEWEST: usize = 3;
/// Another explanation of a mark is believed where it leaves at most this share of the distance.
const EXPLAINED_SHARE: f64 = 0.25;
/// A landmark that two plates show this far from where the set has it, in mm, is misplaced in the set; more plates show
/// less, by the root of their number beyond the first. Hands place it to 0.04 mm, and few others foretell it to 0.1 mm.
const MISPLACED_MM: f64 = 0.3;
/// And the plates must agree on that to this share of it.
const AGREED_SHARE: f64 = 0.25;
/// A plate is upside down that is rotated by more than this, in degrees, where the others are by less than the rest.
const UPSIDE_DOWN_DEG: f64 = 135.0;

/// Something wrong with the landmarks on one plate.
#[derive(Debug, Clone, PartialEq)]
pub enum MarkFault {
    /// Its x and y stand in each other's place.
    SwappedAxes(LandmarkName),
    /// Each of the two is where the other belongs.
    Exchanged(LandmarkName, LandmarkName),
    /// It is not where the others put it.
    Off {
        /// Which.
        name: LandmarkName,
        /// By how much, in px of the plate.
        off_px: f64,
    },
    /// They fit a mirrored coin.
    Mirrored,
    /// The other plates lie upright and this one does not.
    UpsideDown,
    /// Most of them fit no view of this side.
    NoView,
}

/// A landmark that the plates agree to find elsewhere than the set has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Misplaced {
    /// Which.
    pub name: LandmarkName,
    /// From where the set has it to where the plates show it, in mm on the side.
    pub off_mm: SideVector,
    /// Whether its x and y in the set stand in each other's place.
    pub swapped: bool,
}

/// What is wrong with the landmarks of a side.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MarkFaults {
    /// In the set's own list.
    pub misplaced: Vec<Misplaced>,
    /// On each plate, in the order given.
    pub on_plates: Vec<Vec<MarkFault>>,
}

/// Checks the landmarks of all plates of a side.
#[must_use]
pub fn check_marks(
    landmarks: &[Landmark],
    measures: &Measures,
    plates: &[&BTreeMap<LandmarkName, PicturePoint>],
) -> MarkFaults {
    let mut trusted: Vec<Landmark> = landmarks
        .iter()
        .filter(|l| l.place_mm.is_finite())
        .cloned()
        .collect();
    let mut faults = MarkFaults::default();
    let gross_mm = GROSS_SHARE * measures.diameter_mm;
    // A misplaced landmark pulls at its neighbours, so the worst is taken out before the next is looked for.
    while let Some(worst) = misplaced(&trusted, measures, plates) {
        trusted.retain(|l| l.name != worst.name);
        faults.misplaced.push(worst);
    }
    let judged: Vec<Judged> = plates
        .iter()
        .map(|marks| Judged::of(&trusted, measures, marks))
        .collect();
    let rotations: Vec<Option<f64>> = judged.iter().map(|j| j.rotation_deg()).collect();
    for (index, (judged, marks)) in judged.iter().zip(plates).enumerate() {
        let mut found = judged.faults(marks, gross_mm);
        if found.is_empty() && is_upside_down(index, &rotations) {
            found.push(MarkFault::UpsideDown);
        }
        faults.on_plates.push(found);
    }
    faults
}

fn is_upside_down(index: usize, rotations: &[Option<f64>]) -> bool {
    let inverted = |deg: &f64| deg.abs() > UPSIDE_DOWN_DEG;
    let upright = |deg: &f64| deg.abs() < 180.0 - UPSIDE_DOWN_DEG;
    let others = rotations.iter().enumerate().filter(|(i, _)| *i != index);
    let others: Vec<f64> = others.filter_map(|(_, deg)| *deg).collect();
    rotations[index].as_ref().is_some_and(inverted) && others.len() > 1 && others.iter().all(upright)
}

/// The landmark that the plates most agree to find elsewhere than the set has it.
fn misplaced(
    landmarks: &[Landmark],
    measures: &Measures,
    plates: &[&BTreeMap<LandmarkName, PicturePoint>],
) -> Option<Misplaced> {
    let judged: Vec<Judged> = plates
        .iter()
        .map(|marks| Judged::of(landmarks, measures, marks))
        .collect();
    let off_of = |name: &LandmarkName| {
        let seen: Vec<SideVector> = judged.iter().filter_map(|j| j.off_by_others(name)).collect();
        if seen.len() < 2 {
            return None;
        }
        let count = seen.len() as f64;
        let mean = seen.iter().fold(SideVector::zero(), |sum, off| sum + *off) / count;
        let squares: f64 = seen.iter().map(|off| (*off - mean).square_length()).sum();
        let agreed = (squares / count).sqrt() < AGREED_SHARE * mean.length();
        (mean.length() > MISPLACED_MM / (count - 1.0).sqrt() && agreed).then_some(mean)
    };
    let found = landmarks.iter().filter_map(|l| Some((l, off_of(&l.name)?)));
    let (landmark, off_mm) = found.max_by(|a, b| a.1.length().total_cmp(&b.1.length()))?;
    let swapped = SidePoint::new(landmark.place_mm.y, landmark.place_mm.x) - landmark.place_mm;
    Some(Misplaced {
        name: landmark.name.clone(),
        off_mm,
        swapped: (swapped - off_mm).length() < EXPLAINED_SHARE * off_mm.length(),
    })
}

/// One landmark of a plate: on the side and in the picture.
#[derive(Debug, Clone)]
struct Mark {
    name: LandmarkName,
    at: Correspondence,
}

/// The landmarks of one plate, told apart into those that agree and those that do not.
struct Judged {
    marks: Vec<Mark>,
    /// Whether each agrees with most others; none where there is no such most.
    agrees: Option<Vec<bool>>,
    /// Whether more of them fit a mirrored coin.
    mirrored: bool,
}

impl Judged {
    fn of(
        landmarks: &[Landmark],
        measures: &Measures,
        marked: &BTreeMap<LandmarkName, PicturePoint>,
    ) -> Self {
        let marks: Vec<Mark> = landmarks
            .iter()
            .filter_map(|l| {
                let in_picture = *marked.get(&l.name).filter(|p| p.is_finite())?;
                let on_side = l.place_mm;
                let at = Correspondence { on_side, in_picture };
                Some(Mark {
                    name: l.name.clone(),
                    at,
                })
            })
            .collect();
        let points: Vec<Correspondence> = marks.iter().map(|m| m.at).collect();
        let [plain, mirror] =
            [&points, &flipped(&points)].map(|points| agreeing(points, measures.diameter_mm));
        let count = |agrees: &[bool]| agrees.iter().filter(|a| **a).count();
        let is_most = |agrees: &[bool]| count(agrees) >= FEWEST && 2 * count(agrees) > agrees.len();
        let mirrored = is_most(&mirror) && count(&mirror) > count(&plain);
        let mut agrees = Some(plain).filter(|agrees| is_most(agrees) && !mirrored);
        if let Some(agrees) = &mut agrees {
            exclude_disagreeing(landmarks, measures, &marks, agrees);
        }
        Self {
            marks,
            agrees,
            mirrored,
        }
    }

    /// The transform by those that agree, but for one.
    fn transform(&self, but: Option<usize>) -> Option<PictureFromSide> {
        let agrees = self.agrees.as_ref()?;
        let points: Vec<Correspondence> = (0..self.marks.len())
            .filter(|i| agrees[*i] && Some(*i) != but)
            .map(|i| self.marks[i].at)
            .collect();
        let model = match points.len() {
            0..4 => Model::Similarity,
            4..7 => Model::Affine,
            _ => Model::Homography,
        };
        let found = fit(model, &points).or_else(|_| fit(Model::Similarity, &points));
        found.ok().map(|f| f.picture_from_side)
    }

    fn rotation_deg(&self) -> Option<f64> {
        Some(self.transform(None)?.rotation_deg(SidePoint::zero()))
    }

    /// How far on the side a landmark lies from where the others put it.
    fn off_by_others(&self, name: &LandmarkName) -> Option<SideVector> {
        let index = self.marks.iter().position(|m| &m.name == name)?;
        let at = self.marks[index].at;
        Some(self.transform(Some(index))?.point_on_side(at.in_picture) - at.on_side)
    }

    fn faults(&self, marked: &BTreeMap<LandmarkName, PicturePoint>, gross_mm: f64) -> Vec<MarkFault> {
        if self.mirrored {
            return vec![MarkFault::Mirrored];
        }
        let Some(agrees) = &self.agrees else {
            return match self.swap_that_agrees(gross_mm) {
                Some(name) => vec![MarkFault::SwappedAxes(name)],
                None if self.marks.len() >= FEWEST => vec![MarkFault::NoView],
                None => Vec::new(),
            };
        };
        let mut faults = Vec::new();
        let mut exchanged: Vec<LandmarkName> = Vec::new();
        for (index, mark) in self.marks.iter().enumerate().filter(|(i, _)| !agrees[*i]) {
            let Some(transform) = self.transform(Some(index)) else {
                continue;
            };
            let expected = transform.point_in_picture(mark.at.on_side);
            let off_px = (mark.at.in_picture - expected).length();
            let explains = |p: PicturePoint| (p - expected).length() < EXPLAINED_SHARE * off_px;
            let other = self.marks.iter().find(|other| {
                let theirs = transform.point_in_picture(other.at.on_side);
                other.name != mark.name
                    && marked.get(&other.name).is_some_and(|p| explains(*p))
                    && (mark.at.in_picture - theirs).length() < EXPLAINED_SHARE * off_px
            });
            if exchanged.contains(&mark.name) {
                continue;
            }
            if explains(swapped(mark.at.in_picture)) {
                faults.push(MarkFault::SwappedAxes(mark.name.clone()));
            } else if let Some(other) = other {
                exchanged.push(other.name.clone());
                faults.push(MarkFault::Exchanged(mark.name.clone(), other.name.clone()));
            } else {
                let name = mark.name.clone();
                faults.push(MarkFault::Off { name, off_px });
            }
        }
        faults
    }

    /// Of landmarks too few to outvote one: the only one whose x and y, swapped back, agree with all others.
    fn swap_that_agrees(&self, gross_mm: f64) -> Option<LandmarkName> {
        let points: Vec<Correspondence> = self.marks.iter().map(|m| m.at).collect();
        let mut found = (0..points.len()).filter(|index| {
            let mut points = points.clone();
            points[*index].in_picture = swapped(points[*index].in_picture);
            points.len() >= FEWEST && agreeing(&points, gross_mm / GROSS_SHARE).iter().all(|a| *a)
        });
        let first = found.next()?;
        found.next().is_none().then(|| self.marks[first].name.clone())
    }
}

fn swapped(p: PicturePoint) -> PicturePoint {
    PicturePoint::new(p.y, p.x)
}

/// Which points agree with the similarity, through some two of them, with which most agree.
fn agreeing(points: &[Correspondence], diameter_mm: f64) -> Vec<bool> {
    let tried = points.len().min(MOST_TRIED);
    let pairs = (0..tried).flat_map(|i| (0..i).map(move |j| [points[i], points[j]]));
    let apart = |[a, b]: &[Correspondence; 2]| (a.on_side - b.on_side).length() > APART_SHARE * diameter_mm;
    let mut best = (0, f64::INFINITY, vec![false; points.len()]);
    for pair in pairs.filter(apart) {
        let Ok(found) = fit(Model::Similarity, &pair) else {
            continue;
        };
        let transform = found.picture_from_side;
        let off_mm = |c: &Correspondence| (transform.point_on_side(c.in_picture) - c.on_side).length();
        let agrees: Vec<bool> = points
            .iter()
            .map(|c| off_mm(c) < GROSS_SHARE * diameter_mm)
            .collect();
        let count = agrees.iter().filter(|a| **a).count();
        let off: f64 = points
            .iter()
            .map(off_mm)
            .filter(|off| *off < GROSS_SHARE * diameter_mm)
            .sum();
        if (count, -off) > (best.0, -best.1) {
            best = (count, off, agrees);
        }
    }
    best.2
}

/// Takes out those of the agreeing that the alignment by them all names as wrong.
fn exclude_disagreeing(landmarks: &[Landmark], measures: &Measures, marks: &[Mark], agrees: &mut [bool]) {
    let kept = marks.iter().zip(agrees.iter()).filter(|(_, agrees)| **agrees);
    let placed: BTreeMap<_, _> = kept.map(|(m, _)| (m.name.clone(), m.at.in_picture)).collect();
    let Ok(alignment) = align(landmarks, measures, Marked::from(&placed), &[]) else {
        return;
    };
    for wrong in alignment.landmarks.iter().filter(|l| l.disagrees) {
        if let Some(index) = marks.iter().position(|m| m.name == wrong.name) {
            agrees[index] = false;
        }
    }
}
