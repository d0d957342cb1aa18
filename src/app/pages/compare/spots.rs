//! What the page shows of two coins, read off the record: spots, findings, coins to choose from. Knows no egui.

use std::path::{Path, PathBuf};

use crate::crop::CropFrame;
use crate::pipeline;
use crate::pipeline::CabinetEntry;
use crate::reference::{ReferenceSet, Side};
use crate::specimen::{Comparison, Spot};

/// The spots of a side in the order offered: the whole side, the set's zones, the user's own places.
#[must_use]
pub fn spots(set: &ReferenceSet, side: Side, comparison: Option<&Comparison>) -> Vec<Spot> {
    let zones = set
        .side(side)
        .zones
        .iter()
        .map(|zone| Spot::Zone(zone.id.clone()));
    let places = comparison
        .into_iter()
        .flat_map(|c| &c.findings)
        .map(|f| &f.spot)
        .filter(|spot| matches!(spot, Spot::Place { .. }) && pipeline::spot_zone(set, side, spot).is_some());
    std::iter::once(Spot::WholeSide)
        .chain(zones)
        .chain(places.cloned())
        .collect()
}

/// The spot `steps` further, round again.
#[must_use]
pub fn spot_at_distance(spots: &[Spot], from: &Spot, steps: isize) -> Option<Spot> {
    let here = spots.iter().position(|spot| spot.is_same(from)).unwrap_or(0);
    let there = (here.cast_signed() + steps).rem_euclid(spots.len().max(1).cast_signed());
    spots.get(there.cast_unsigned()).cloned()
}

/// The place that a frame shows, to be kept as a spot: rounded to what a record keeps, without the margin that every
/// spot is shown with.
#[must_use]
pub fn place_in_view(frame: &CropFrame) -> Spot {
    const STEP_MM: f64 = 0.01;
    let kept = |mm: f64| (mm / STEP_MM).round() * STEP_MM;
    let share = 1.0 + 2.0 * super::zoom::MARGIN;
    let size = |px: u32| kept(f64::from(px) / frame.px_per_mm / share).max(STEP_MM);
    Spot::Place {
        title: String::new(),
        centre_mm: crate::geometry::SidePoint::new(kept(frame.centre.x), kept(frame.centre.y)),
        size_mm: (size(frame.width_px), size(frame.height_px)),
    }
}

/// A coin that may stand beside yours.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Candidate {
    /// Its folder.
    pub folder: PathBuf,
    /// Its title.
    pub title: String,
    /// What is known of it, in a few words.
    pub about: String,
}

/// The cabinet's other coins of a set, the last saved first.
#[must_use]
pub fn candidates<'a>(
    cabinet: &'a [CabinetEntry],
    set_id: &str,
    own: Option<&Path>,
) -> Vec<&'a CabinetEntry> {
    cabinet
        .iter()
        .filter(|entry| !entry.faulty && entry.set_id == set_id && Some(entry.folder.as_path()) != own)
        .collect()
}

/// The coins that a record was compared with before: place, title, and what was found, side by side.
#[must_use]
pub fn compared_before(comparisons: &[Comparison], own: Option<&Path>) -> Vec<Candidate> {
    let mut found: Vec<Candidate> = Vec::new();
    for comparison in comparisons {
        let words = match comparison.conclusion {
            Some(conclusion) => format!("{}: {}", comparison.side.word(), conclusion.words()),
            None => format!("{}: nothing concluded yet", comparison.side.word()),
        };
        // An absolute place stays what it is.
        let folder = own.map_or_else(
            || PathBuf::from(&comparison.other.place),
            |own| without_detours(&own.join(&comparison.other.place)),
        );
        match found.iter_mut().find(|c| c.folder == folder) {
            Some(known) => known.about = format!("{}; {words}", known.about),
            None => found.push(Candidate {
                folder,
                title: comparison.other.title.clone(),
                about: words,
            }),
        }
    }
    found
}

/// A path without `..`, as the cabinet names its folders. By the words alone, as this is asked every frame.
fn without_detours(path: &Path) -> PathBuf {
    let mut plain = PathBuf::new();
    for part in path.components() {
        if part == std::path::Component::ParentDir && plain.file_name().is_some() {
            plain.pop();
        } else {
            plain.push(part);
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::SidePoint;
    use crate::specimen::{Conclusion, OtherSpecimen};

    fn comparison(side: Side) -> Comparison {
        let other = OtherSpecimen {
            title: "b".to_owned(),
            place: "../b".to_owned(),
            photo: String::new(),
            sha256: String::new(),
        };
        Comparison::new(side, other)
    }

    #[test]
    fn the_view_is_kept_as_the_place_that_shows_it_again() {
        let frame = CropFrame {
            centre: SidePoint::new(3.0, -4.0),
            px_per_mm: 100.0,
            rotation_deg: 0.0,
            width_px: 260,
            height_px: 130,
        };
        let Spot::Place {
            centre_mm, size_mm, ..
        } = place_in_view(&frame)
        else {
            panic!("no place");
        };
        assert!((centre_mm - frame.centre).length() < 0.01);
        assert!((size_mm.0 - 2.0).abs() < 0.01 && (size_mm.1 - 1.0).abs() < 0.01);
    }

    #[test]
    fn a_coin_compared_on_both_sides_is_told_once() {
        let mut both = vec![comparison(Side::Obverse), comparison(Side::Reverse)];
        both[0].conclusion = Some(Conclusion::SameDie);
        let found = compared_before(&both, Some(Path::new("/cabinet/a")));
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].folder, Path::new("/cabinet/b"));
        assert_eq!(
            found[0].about,
            "obverse: same die; reverse: nothing concluded yet"
        );
    }

    #[test]
    fn spots_go_round() {
        let spots = [Spot::WholeSide, Spot::Zone("a".into()), Spot::Zone("b".into())];
        assert_eq!(spot_at_distance(&spots, &spots[2], 1), Some(Spot::WholeSide));
        assert_eq!(spot_at_distance(&spots, &spots[0], -1), Some(spots[2].clone()));
        // One that is gone counts as the first.
        let gone = Spot::Zone("gone".into());
        assert_eq!(spot_at_distance(&spots, &gone, 1), Some(spots[1].clone()));
        assert_eq!(spot_at_distance(&[], &gone, 1), None);
    }
}
