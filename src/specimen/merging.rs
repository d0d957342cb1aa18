//! Two changes of one record, made at the same time by two programs, put together.

use std::collections::BTreeMap;

use super::{SidePhoto, SpecimenRecord};

/// Puts together what two changed of the record `base`. Where both changed the same thing differently ours stands, and
/// `conflict` is set.
pub(super) struct Merging {
    /// Whether something of theirs had to give way.
    pub(super) conflict: bool,
}

impl Merging {
    /// The record with both changes.
    pub(super) fn records(
        &mut self,
        base: &SpecimenRecord,
        ours: &SpecimenRecord,
        theirs: &SpecimenRecord,
    ) -> SpecimenRecord {
        SpecimenRecord {
            format: ours.format,
            title: self.one(&base.title, &ours.title, &theirs.title),
            set: self.one(&base.set, &ours.set, &theirs.set),
            obverse: self.photo(&base.obverse, &ours.obverse, &theirs.obverse),
            reverse: self.photo(&base.reverse, &ours.reverse, &theirs.reverse),
            facts: self.map(&base.facts, &ours.facts, &theirs.facts),
            weight_g: self.one(&base.weight_g, &ours.weight_g, &theirs.weight_g),
            verdicts: self.list(&base.verdicts, &ours.verdicts, &theirs.verdicts, |a, b| {
                (a.side, &a.feature, &a.state) == (b.side, &b.feature, &b.state)
            }),
            measurements: self.list(
                &base.measurements,
                &ours.measurements,
                &theirs.measurements,
                |a, b| {
                    (a.side, &a.feature, a.kind, &a.points_mm) == (b.side, &b.feature, b.kind, &b.points_mm)
                },
            ),
            comparisons: self.list(
                &base.comparisons,
                &ours.comparisons,
                &theirs.comparisons,
                |a, b| (a.side, &a.other) == (b.side, &b.other),
            ),
            grade: self.one(&base.grade, &ours.grade, &theirs.grade),
            cost: self.one(&base.cost, &ours.cost, &theirs.cost),
            notes: self.one(&base.notes, &ours.notes, &theirs.notes),
        }
    }

    fn one<T: PartialEq + Clone>(&mut self, base: &T, ours: &T, theirs: &T) -> T {
        if ours == base {
            return theirs.clone();
        }
        self.conflict |= theirs != base && theirs != ours;
        ours.clone()
    }

    fn map<K: Ord + Clone, V: PartialEq + Clone>(
        &mut self,
        base: &BTreeMap<K, V>,
        ours: &BTreeMap<K, V>,
        theirs: &BTreeMap<K, V>,
    ) -> BTreeMap<K, V> {
        let mut merged = BTreeMap::new();
        for key in ours.keys().chain(theirs.keys()) {
            if let Some(value) = self.one(&base.get(key), &ours.get(key), &theirs.get(key)) {
                merged.insert(key.clone(), value.clone());
            }
        }
        merged
    }

    /// Lists in which each thing stands once, known by `same`: in their order, ours behind.
    fn list<T: PartialEq + Clone>(
        &mut self,
        base: &[T],
        ours: &[T],
        theirs: &[T],
        same: impl Fn(&T, &T) -> bool,
    ) -> Vec<T> {
        // Most often only one of the two changed anything; then its order stands, too.
        if theirs == base {
            return ours.to_vec();
        }
        let find = |list: &'_ [T], one: &T| list.iter().find(|other| same(other, one)).cloned();
        let added = ours.iter().filter(|one| find(theirs, one).is_none());
        theirs
            .iter()
            .chain(added)
            .filter_map(|one| self.one(&find(base, one), &find(ours, one), &find(theirs, one)))
            .collect()
    }

    /// What was placed on the same photo is put together; of two photos one stands.
    fn photo(
        &mut self,
        base: &Option<SidePhoto>,
        ours: &Option<SidePhoto>,
        theirs: &Option<SidePhoto>,
    ) -> Option<SidePhoto> {
        let (Some(b), Some(o), Some(t)) = (base, ours, theirs) else {
            return self.one(base, ours, theirs);
        };
        if b.file != o.file || o.file != t.file {
            return self.one(base, ours, theirs);
        }
        Some(SidePhoto {
            landmarks: self.map(&b.landmarks, &o.landmarks, &t.landmarks),
            held_model: self.one(&b.held_model, &o.held_model, &t.held_model),
            rim: self.one(&b.rim, &o.rim, &t.rim),
            fine_shifts: self.map(&b.fine_shifts, &o.fine_shifts, &t.fine_shifts),
            ..o.clone()
        })
    }
}
