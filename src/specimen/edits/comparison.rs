//! Edits of what is said of two coins.

use super::shared::{FINE_SHIFT, MEASURING, NOTE, REMOVING_A_MEASUREMENT, remove_at};
use crate::specimen::{Comparison, Conclusion, FineShift, Found, PairMeasurement, SeenPair, Spot, WhichCoin};

/// A change of what is said of one side of two coins.
#[derive(Debug, Clone, PartialEq)]
pub enum ComparisonEdit {
    /// Says what both show at a spot, with the crops that were on the screen; an earlier note stays.
    Find(Spot, Found, Option<Box<SeenPair>>),
    /// Takes back what was found at a spot; its note stays.
    TakeBack(Spot),
    /// Says which coin shows the difference, or more of it.
    MoreOn(Spot, Option<WhichCoin>),
    /// Writes the note on a spot.
    Note(Spot, String),
    /// Keeps a spot to look at again.
    Keep(Spot),
    /// Renames the user's own spot.
    Rename(Spot, String),
    /// Removes the user's own spot with all that was said of it.
    Remove(Spot),
    /// Accepts a fine shift at a spot, or removes it.
    FineShift(Spot, Option<FineShift>),
    /// Keeps a measurement.
    Measure(PairMeasurement),
    /// Removes a measurement, by its index in the comparison.
    RemoveMeasurement(usize),
    /// Sets the conclusion, or takes it back.
    Conclude(Option<Conclusion>),
    /// Writes the note on the conclusion.
    ConclusionNote(String),
}

impl ComparisonEdit {
    pub(super) fn apply(self, comparison: &mut Comparison) {
        match self {
            Self::Find(spot, found, seen) => {
                let finding = comparison.finding_mut(&spot);
                finding.found = Some(found);
                finding.seen = seen.map(|seen| *seen);
                if !matches!(found, Found::Differs(_)) {
                    finding.more_on = None;
                }
            }
            Self::TakeBack(spot) => {
                let finding = comparison.finding_mut(&spot);
                (finding.found, finding.more_on, finding.seen) = (None, None, None);
            }
            Self::MoreOn(spot, coin) => comparison.finding_mut(&spot).more_on = coin,
            Self::Note(spot, note) => comparison.finding_mut(&spot).note = note,
            Self::Keep(spot) => {
                comparison.finding_mut(&spot);
            }
            Self::Rename(spot, to) => {
                if let Spot::Place { title, .. } = &mut comparison.finding_mut(&spot).spot {
                    *title = to;
                }
            }
            Self::Remove(spot) => comparison.forget(&spot),
            Self::FineShift(spot, shift) => comparison.set_fine_shift(&spot, shift),
            Self::Measure(measurement) => comparison.measurements.push(measurement),
            Self::RemoveMeasurement(index) => remove_at(&mut comparison.measurements, index),
            Self::Conclude(conclusion) => comparison.conclusion = conclusion,
            Self::ConclusionNote(note) => comparison.note = note,
        }
    }

    pub(super) fn words(&self) -> &'static str {
        match self {
            Self::Find(_, Found::Same, _) => "\u{201c}same here\u{201d}",
            Self::Find(_, Found::Differs(_), _) => "\u{201c}differs here\u{201d}",
            Self::Find(_, Found::CannotTell(_), _) => "\u{201c}cannot tell here\u{201d}",
            Self::TakeBack(_) => "taking a finding back",
            Self::MoreOn(..) => "the coin that shows more",
            Self::Note(..) | Self::ConclusionNote(_) => NOTE,
            Self::Keep(_) => "keeping a place",
            Self::Rename(..) => "the place\u{2019}s name",
            Self::Remove(_) => "removing a place",
            Self::FineShift(..) => FINE_SHIFT,
            Self::Measure(_) => MEASURING,
            Self::RemoveMeasurement(_) => REMOVING_A_MEASUREMENT,
            Self::Conclude(_) => "the conclusion",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::record;
    use super::*;
    use crate::geometry::{SidePoint, SideVector};
    use crate::reference::Side;
    use crate::specimen::Edit;
    use crate::specimen::{Difference, MeasureKind, OtherSpecimen, SpecimenRecord};

    fn edit(record: &mut SpecimenRecord, edit: ComparisonEdit) {
        let other = OtherSpecimen {
            title: "b".to_owned(),
            place: "../b".to_owned(),
            photo: String::new(),
            sha256: String::new(),
        };
        Edit::Comparison(Side::Obverse, other, edit).apply(record);
    }

    fn zone() -> Spot {
        Spot::Zone("z".into())
    }

    fn crack() -> Spot {
        Spot::Place {
            title: String::new(),
            centre_mm: SidePoint::new(1.0, 2.0),
            size_mm: (3.0, 2.0),
        }
    }

    #[test]
    fn a_finding_keeps_its_note_and_the_coin_only_while_it_is_a_difference() {
        let mut record = record();
        edit(
            &mut record,
            ComparisonEdit::Find(zone(), Found::Differs(Difference::Clash), None),
        );
        edit(
            &mut record,
            ComparisonEdit::MoreOn(zone(), Some(WhichCoin::Other)),
        );
        edit(&mut record, ComparisonEdit::Note(zone(), "n".to_owned()));
        edit(
            &mut record,
            ComparisonEdit::Find(zone(), Found::Differs(Difference::Recut), None),
        );
        let finding = record.comparisons[0].finding(&zone()).unwrap();
        assert_eq!((finding.more_on, &*finding.note), (Some(WhichCoin::Other), "n"));
        edit(&mut record, ComparisonEdit::Find(zone(), Found::Same, None));
        let finding = record.comparisons[0].finding(&zone()).unwrap();
        assert_eq!((finding.more_on, &*finding.note), (None, "n"));
        edit(&mut record, ComparisonEdit::TakeBack(zone()));
        let finding = record.comparisons[0].finding(&zone()).unwrap();
        assert_eq!((finding.found, &*finding.note), (None, "n"));
        edit(&mut record, ComparisonEdit::Note(zone(), String::new()));
        assert!(record.comparisons.is_empty());
    }

    #[test]
    fn a_place_is_kept_renamed_and_removed_with_all_that_was_said_of_it() {
        let mut record = record();
        edit(&mut record, ComparisonEdit::Keep(crack()));
        edit(
            &mut record,
            ComparisonEdit::Rename(crack(), "by the date".to_owned()),
        );
        let spot = record.comparisons[0].findings[0].spot.clone();
        assert!(matches!(&spot, Spot::Place { title, .. } if title == "by the date"));
        let shift = FineShift {
            shift_mm: SideVector::new(0.01, 0.0),
        };
        edit(&mut record, ComparisonEdit::FineShift(crack(), Some(shift)));
        assert_eq!(record.comparisons[0].fine_shift(&spot), Some(shift));
        edit(&mut record, ComparisonEdit::FineShift(crack(), None));
        assert_eq!(record.comparisons[0].fine_shift(&spot), None);
        edit(&mut record, ComparisonEdit::FineShift(crack(), Some(shift)));
        edit(&mut record, ComparisonEdit::Remove(spot));
        assert!(record.comparisons.is_empty());
    }

    #[test]
    fn measurements_and_the_conclusion_are_kept_and_taken_back() {
        let mut record = record();
        let measurement = |on| PairMeasurement {
            spot: zone(),
            on,
            kind: MeasureKind::Distance,
            points_mm: vec![SidePoint::origin(); 2],
            half_width_95: None,
        };
        for coin in WhichCoin::BOTH {
            edit(&mut record, ComparisonEdit::Measure(measurement(coin)));
        }
        edit(&mut record, ComparisonEdit::RemoveMeasurement(0));
        edit(&mut record, ComparisonEdit::RemoveMeasurement(9));
        assert_eq!(
            record.comparisons[0].measurements,
            [measurement(WhichCoin::Other)]
        );
        edit(&mut record, ComparisonEdit::RemoveMeasurement(0));
        edit(&mut record, ComparisonEdit::Conclude(Some(Conclusion::SameDie)));
        edit(&mut record, ComparisonEdit::ConclusionNote("cracks".to_owned()));
        let comparison = &record.comparisons[0];
        assert_eq!(
            (comparison.conclusion, &*comparison.note),
            (Some(Conclusion::SameDie), "cracks")
        );
        edit(&mut record, ComparisonEdit::Conclude(None));
        edit(&mut record, ComparisonEdit::ConclusionNote(String::new()));
        assert!(record.comparisons.is_empty());
    }
}
