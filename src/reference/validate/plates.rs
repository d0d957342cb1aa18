//! The plates: their files, landmarks and resolution.

use std::collections::BTreeSet;

use super::finding::{Findings, Place};
use crate::files::inside;
use crate::photo::ReadLimits;
use crate::reference::{Die, Plate, ReferenceSet, SetError, SetFiles, Side, SideReference};

/// The fewest plate px that the telling detail must span to be seen: two for a line and its gap (sampling theorem),
/// and half as much again for the blur of any lens. Common practice, no source.
pub const FEWEST_PX_PER_TELLING_DETAIL: f64 = 3.0;
/// With this many landmarks a plate's alignment can be checked against itself: one more than a tilted plane needs.
const GOOD_LANDMARKS: usize = 5;

/// The set's files, or why they cannot be had; none where only its text is looked at.
type Files<'a, 'b> = Option<&'a mut Result<SetFiles<'b>, SetError>>;

pub(super) fn check(set: &ReferenceSet, side: Side, mut files: Files<'_, '_>, findings: &mut Findings) {
    let reference = set.side(side);
    let mut too_coarse = BTreeSet::new();
    for die in &reference.dies {
        for (index, plate) in die.plates.iter().enumerate() {
            let here = Here {
                reference,
                side,
                die,
                index,
                plate,
            };
            here.check_landmarks(findings);
            here.check_file(files.as_deref_mut(), findings);
            here.check_resolution(&mut too_coarse, findings);
            if plate.source.trim().is_empty() || plate.rights.trim().is_empty() {
                findings.hint(
                    here.place(),
                    "The plate does not say where it comes from, or who holds the rights in it.",
                    "Fill both before sharing the set.",
                );
            }
        }
    }
}

struct Here<'a> {
    reference: &'a SideReference,
    side: Side,
    die: &'a Die,
    index: usize,
    plate: &'a Plate,
}

impl Here<'_> {
    fn place(&self) -> Place {
        Place::Plate(self.side, self.die.id.clone(), self.index)
    }

    fn check_landmarks(&self, findings: &mut Findings) {
        let on_plate = |name| Place::PlateLandmark(self.side, self.die.id.clone(), self.index, name);
        for (name, point) in &self.plate.landmarks {
            if self.reference.landmark(name).is_none() {
                findings.error(
                    on_plate(name.clone()),
                    format!(
                        "The plate marks the landmark \u{201c}{name}\u{201d}, which this side does not have."
                    ),
                    "Add the landmark to the side, or take it off the plate.",
                );
            }
            if !point.is_finite() {
                findings.error(
                    on_plate(name.clone()),
                    "The landmark's place on the plate is no number.",
                    "Place it again.",
                );
            }
        }
        let known = self.known_landmarks().count();
        let missing: Vec<&str> = self
            .reference
            .landmarks
            .iter()
            .filter(|landmark| !self.plate.landmarks.contains_key(&landmark.name))
            .map(|landmark| landmark.name.as_str())
            .collect();
        if known < 2 {
            findings.warning(
                self.place(),
                format!(
                    "The plate has {known} landmarks, so it cannot be aligned and its zones cannot be shown."
                ),
                "Place two or more; four or more allow for a tilted camera.",
            );
        } else if !missing.is_empty() {
            let sentence = format!("The plate lacks the landmarks {}.", missing.join(", "));
            let remedy = "Place them if they can be seen there.";
            if known < GOOD_LANDMARKS {
                findings.warning(self.place(), sentence, remedy);
            } else {
                findings.hint(self.place(), sentence, remedy);
            }
        }
    }

    fn known_landmarks(
        &self,
    ) -> impl Iterator<Item = (crate::geometry::SidePoint, crate::geometry::PicturePoint)> {
        self.reference
            .landmarks
            .iter()
            .filter_map(|landmark| Some((landmark.place_mm, *self.plate.landmarks.get(&landmark.name)?)))
            .filter(|(place, point)| place.is_finite() && point.is_finite())
    }

    fn check_file(&self, files: Files<'_, '_>, findings: &mut Findings) {
        if let Err(fault) = inside(&self.plate.file) {
            let plate = crate::files::shorten(&self.plate.file);
            findings.error(
                self.place(),
                SetError::PlatePath { plate, fault }.to_string(),
                "Write it as in plates/name.jpg.",
            );
            return;
        }
        let size = match files {
            None => return,
            Some(Ok(files)) => files.picture_size(&self.plate.file),
            Some(Err(error)) => Err(error.clone()),
        };
        match size {
            Err(error) => findings.error(
                self.place(),
                error.to_string(),
                "Check the file's name, upper and lower case included.",
            ),
            Ok(size) => self.check_picture(size, findings),
        }
    }

    fn check_picture(&self, size: Option<(u32, u32)>, findings: &mut Findings) {
        let Some((width, height)) = size else {
            findings.error(
                self.place(),
                format!(
                    "The file {} is no picture that can be read here.",
                    self.plate.file
                ),
                "Use JPEG, PNG, TIFF or WebP.",
            );
            return;
        };
        let most = ReadLimits::default().most_pixels;
        if u64::from(width) * u64::from(height) > most {
            findings.error(
                self.place(),
                format!(
                    "The picture claims {width} x {height} px, and at most {} million px are read.",
                    most / 1_000_000
                ),
                "Use a smaller picture.",
            );
        }
        for (name, point) in &self.plate.landmarks {
            let inside = (-0.5..=f64::from(width) - 0.5).contains(&point.x)
                && (-0.5..=f64::from(height) - 0.5).contains(&point.y);
            if !inside && point.is_finite() {
                findings.error(
                    Place::PlateLandmark(self.side, self.die.id.clone(), self.index, name.clone()),
                    format!(
                        "The landmark is placed at ({}, {}) px, outside the picture of {width} x {height} px.",
                        point.x, point.y
                    ),
                    "Place it again; places are in px of the upright picture.",
                );
            }
        }
    }

    /// Names a zone once a die, for its best plate would do; each zone once in all would hide the others.
    fn check_resolution(&self, too_coarse: &mut BTreeSet<(usize, usize)>, findings: &mut Findings) {
        let Some(px_per_mm) = self.px_per_mm() else { return };
        for (zone_index, zone) in self.reference.zones.iter().enumerate() {
            let px = zone.telling_detail_mm * px_per_mm;
            if px > 0.0 && px < FEWEST_PX_PER_TELLING_DETAIL && too_coarse.insert((self.index, zone_index)) {
                findings.warning(
                    self.place(),
                    format!(
                        "At {px_per_mm:.1} px/mm the plate is too coarse for the zone \u{201c}{}\u{201d}: its telling \
                         detail of {} mm spans {px:.1} px, and {FEWEST_PX_PER_TELLING_DETAIL} are needed.",
                        zone.id, zone.telling_detail_mm
                    ),
                    "Use a larger picture, or a zone with a larger telling detail.",
                );
            }
        }
    }

    /// The plate's scale by the spread of its landmarks, exact for a camera held square to the coin.
    fn px_per_mm(&self) -> Option<f64> {
        let points: Vec<_> = self.known_landmarks().collect();
        if points.len() < 2 {
            return None;
        }
        let n = points.len() as f64;
        let sum = points.iter().fold([0.0; 4], |s, (p, q)| {
            [s[0] + p.x, s[1] + p.y, s[2] + q.x, s[3] + q.y]
        });
        let spread = points.iter().fold((0.0, 0.0), |(mm, px), (p, q)| {
            (
                mm + (p.x - sum[0] / n).powi(2) + (p.y - sum[1] / n).powi(2),
                px + (q.x - sum[2] / n).powi(2) + (q.y - sum[3] / n).powi(2),
            )
        });
        let scale = (spread.1 / spread.0).sqrt();
        (scale.is_finite() && scale > 0.0).then_some(scale)
    }
}
