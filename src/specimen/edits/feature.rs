//! Edits of the verdicts on one feature.

use super::shared::NOTE;
use crate::reference::{FeatureId, Side, StateId};
use crate::specimen::{Ruling, SeenCrop, Verdict};

/// A change of the verdicts on one feature.
#[derive(Debug, Clone, PartialEq)]
pub enum FeatureEdit {
    /// Gives verdicts on some of its states at once; one given before is replaced, its note stays.
    Give(Vec<GivenVerdict>),
    /// Takes the verdict on a state back, with its note.
    TakeBack(StateId),
    /// Writes the note of the verdict on a state; nothing where none is given.
    Note(StateId, String),
}

/// A verdict on a state as it is given.
#[derive(Debug, Clone, PartialEq)]
pub struct GivenVerdict {
    /// The state.
    pub state: StateId,
    /// The verdict.
    pub ruling: Ruling,
    /// The crop that was on the screen; none where nothing was looked at here.
    pub seen: Option<SeenCrop>,
}

impl FeatureEdit {
    pub(super) fn apply(self, verdicts: &mut Vec<Verdict>, side: Side, feature: &FeatureId) {
        let is_of = |v: &Verdict, state: &StateId| (v.side, &v.feature, &v.state) == (side, feature, state);
        match self {
            Self::Give(given) => {
                for GivenVerdict { state, ruling, seen } in given {
                    match verdicts.iter_mut().find(|v| is_of(v, &state)) {
                        Some(verdict) => (verdict.ruling, verdict.seen) = (ruling, seen),
                        None => verdicts.push(Verdict {
                            side,
                            feature: feature.clone(),
                            state,
                            ruling,
                            note: String::new(),
                            seen,
                        }),
                    }
                }
            }
            Self::TakeBack(state) => verdicts.retain(|v| !is_of(v, &state)),
            Self::Note(state, note) => {
                if let Some(verdict) = verdicts.iter_mut().find(|v| is_of(v, &state)) {
                    verdict.note = note;
                }
            }
        }
    }

    pub(super) fn words(&self) -> String {
        match self {
            Self::Give(given) => {
                let ruling = given.first().map_or("", |given| given.ruling.words());
                match given.len() {
                    1 => format!("\u{201c}{ruling}\u{201d}"),
                    states => format!("\u{201c}{ruling}\u{201d} for {states} states"),
                }
            }
            Self::TakeBack(_) => "taking a verdict back".to_owned(),
            Self::Note(..) => NOTE.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::record;
    use super::*;
    use crate::specimen::Edit;
    use crate::specimen::{CannotTell, SpecimenRecord};

    fn on_stop(edit: FeatureEdit) -> Edit {
        Edit::Feature(Side::Obverse, "stop".into(), edit)
    }

    fn give(states: &[&str], ruling: Ruling) -> Edit {
        let given = |state: &&str| GivenVerdict {
            state: (*state).into(),
            ruling,
            seen: None,
        };
        on_stop(FeatureEdit::Give(states.iter().map(given).collect()))
    }

    fn told(record: &SpecimenRecord) -> Vec<(&str, Ruling, &str)> {
        record
            .verdicts
            .iter()
            .map(|v| (v.state.as_str(), v.ruling, v.note.as_str()))
            .collect()
    }

    #[test]
    fn a_verdict_given_again_keeps_its_note_and_its_position() {
        let mut record = record();
        give(&["near", "far"], Ruling::Differs).apply(&mut record);
        on_stop(FeatureEdit::Note("near".into(), "by the wear".to_owned())).apply(&mut record);
        let wear = Ruling::CannotTell(CannotTell::Wear);
        give(&["near"], wear).apply(&mut record);
        assert_eq!(
            told(&record),
            [("near", wear, "by the wear"), ("far", Ruling::Differs, "")]
        );
    }

    #[test]
    fn taking_back_is_of_one_state_of_one_side() {
        let mut record = record();
        give(&["near", "far"], Ruling::Differs).apply(&mut record);
        let elsewhere = FeatureEdit::TakeBack("near".into());
        Edit::Feature(Side::Reverse, "stop".into(), elsewhere.clone()).apply(&mut record);
        Edit::Feature(Side::Obverse, "line".into(), elsewhere).apply(&mut record);
        assert_eq!(record.verdicts.len(), 2);
        on_stop(FeatureEdit::TakeBack("near".into())).apply(&mut record);
        assert_eq!(told(&record), [("far", Ruling::Differs, "")]);
        // A note needs a verdict to stand on.
        on_stop(FeatureEdit::Note("near".into(), "gone".to_owned())).apply(&mut record);
        assert_eq!(record.verdicts.len(), 1);
    }

    #[test]
    fn undo_says_what_was_given_and_for_how_many() {
        assert_eq!(give(&["near"], Ruling::Agrees).words(), "\u{201c}agrees\u{201d}");
        assert_eq!(
            give(&["near", "far"], Ruling::Differs).words(),
            "\u{201c}differs\u{201d} for 2 states"
        );
    }
}
