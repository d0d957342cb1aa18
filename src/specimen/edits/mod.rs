//! What the user can change of a record, as plain data: buttons, keys and verbs all ask for the same edits, so that
//! none of them can keep or forget what another would not.

mod comparison;
mod feature;
mod photo;
mod shared;

pub use comparison::ComparisonEdit;
pub use feature::{FeatureEdit, GivenVerdict};
pub use photo::PhotoEdit;

use shared::{MEASURING, REMOVING_A_MEASUREMENT, remove_at};

use super::{FactAnswer, Measurement, OtherSpecimen, SpecimenRecord};
use crate::reference::{FactId, FeatureId, Side};

/// A change of a record.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// Writes a text.
    Text(TextField, String),
    /// Sets the weight in g, or forgets it.
    Weight(Option<f64>),
    /// Answers a fact, or takes the answer back.
    Answer(FactId, Option<FactAnswer>),
    /// Changes a side's photo and what was placed on it; nothing where there is none.
    Photo(Side, PhotoEdit),
    /// Changes the verdicts on a feature of a side.
    Feature(Side, FeatureId, FeatureEdit),
    /// Keeps a measurement.
    Measure(Measurement),
    /// Removes a measurement, by its index in the record.
    RemoveMeasurement(usize),
    /// Changes what is said of a side against another coin.
    Comparison(Side, OtherSpecimen, ComparisonEdit),
}

/// A text of the record that the user writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TextField {
    /// What the coin is called.
    Title,
    /// The grade.
    Grade,
    /// What it cost.
    Cost,
    /// Anything else.
    Notes,
}

impl TextField {
    /// Its name in lower case.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Title => "title",
            Self::Grade => "grade",
            Self::Cost => "cost",
            Self::Notes => "notes",
        }
    }

    /// What it says now.
    #[must_use]
    pub fn of(self, record: &SpecimenRecord) -> &str {
        match self {
            Self::Title => &record.title,
            Self::Grade => &record.grade,
            Self::Cost => &record.cost,
            Self::Notes => &record.notes,
        }
    }

    fn of_mut(self, record: &mut SpecimenRecord) -> &mut String {
        match self {
            Self::Title => &mut record.title,
            Self::Grade => &mut record.grade,
            Self::Cost => &mut record.cost,
            Self::Notes => &mut record.notes,
        }
    }
}

impl Edit {
    /// Changes the record.
    pub fn apply(self, record: &mut SpecimenRecord) {
        match self {
            Self::Text(field, text) => *field.of_mut(record) = text,
            Self::Weight(weight_g) => record.weight_g = weight_g,
            Self::Answer(fact, Some(answer)) => {
                record.facts.insert(fact, answer);
            }
            Self::Answer(fact, None) => {
                record.facts.remove(&fact);
            }
            Self::Photo(side, edit) => edit.apply(record.photo_mut(side)),
            Self::Feature(side, feature, edit) => edit.apply(&mut record.verdicts, side, &feature),
            Self::Measure(measurement) => record.measurements.push(measurement),
            Self::RemoveMeasurement(index) => remove_at(&mut record.measurements, index),
            Self::Comparison(side, other, edit) => {
                record.compare_with(side, &other, |comparison| edit.apply(comparison));
            }
        }
    }

    /// What it does, in words that follow "Undo".
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Text(field, _) => format!("the {}", field.word()),
            Self::Weight(_) => "the weight".to_owned(),
            Self::Answer(..) => "the answer to a fact".to_owned(),
            Self::Photo(side, edit) => edit.words(*side),
            Self::Feature(_, _, edit) => edit.words(),
            Self::Measure(_) => MEASURING.to_owned(),
            Self::RemoveMeasurement(_) => REMOVING_A_MEASUREMENT.to_owned(),
            Self::Comparison(_, _, edit) => edit.words().to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::SidePoint;
    use crate::specimen::{MeasureKind, SetReference};

    pub(super) fn record() -> SpecimenRecord {
        let set = SetReference {
            id: String::new(),
            edition: 1,
            title: String::new(),
            place: String::new(),
        };
        SpecimenRecord::new("a", set)
    }

    #[test]
    fn each_text_goes_to_its_own_field() {
        let mut record = record();
        let all = [
            TextField::Title,
            TextField::Grade,
            TextField::Cost,
            TextField::Notes,
        ];
        for field in all {
            let edit = Edit::Text(field, format!("my {}", field.word()));
            assert_eq!(edit.words(), format!("the {}", field.word()));
            edit.apply(&mut record);
        }
        assert_eq!(
            (&*record.title, &*record.grade, &*record.cost, &*record.notes),
            ("my title", "my grade", "my cost", "my notes")
        );
        assert!(all.map(|field| field.of(&record) == format!("my {}", field.word())) == [true; 4]);
    }

    #[test]
    fn facts_and_weight_are_given_and_taken_back() {
        let mut record = record();
        let date = FactId::from("date");
        Edit::Answer(date.clone(), Some(FactAnswer::Is("415".to_owned()))).apply(&mut record);
        Edit::Answer(date.clone(), Some(FactAnswer::Unreadable)).apply(&mut record);
        assert_eq!(record.facts.get(&date), Some(&FactAnswer::Unreadable));
        Edit::Answer(date, None).apply(&mut record);
        assert!(record.facts.is_empty());
        Edit::Weight(Some(8.3)).apply(&mut record);
        assert_eq!(record.weight_g, Some(8.3));
        Edit::Weight(None).apply(&mut record);
        assert_eq!(record.weight_g, None);
    }

    #[test]
    fn a_measurement_is_removed_by_its_index_and_one_that_is_gone_is_not_missed() {
        let mut record = record();
        for kind in [MeasureKind::Distance, MeasureKind::Angle] {
            let measurement = Measurement {
                side: Side::Obverse,
                feature: "stop".into(),
                kind,
                points_mm: vec![SidePoint::origin(); 3],
                note: String::new(),
            };
            Edit::Measure(measurement).apply(&mut record);
        }
        Edit::RemoveMeasurement(0).apply(&mut record);
        Edit::RemoveMeasurement(7).apply(&mut record);
        let kinds: Vec<_> = record.measurements.iter().map(|m| m.kind).collect();
        assert_eq!(kinds, [MeasureKind::Angle]);
    }
}
