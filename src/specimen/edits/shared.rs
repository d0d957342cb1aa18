//! What the kinds of edits share.

pub(super) const MEASURING: &str = "a measurement";
pub(super) const REMOVING_A_MEASUREMENT: &str = "removing a measurement";
pub(super) const NOTE: &str = "the note";
pub(super) const FINE_SHIFT: &str = "the fine shift";

/// Removes one of some, if it is there: what was asked for may be gone by an undo.
pub(super) fn remove_at<T>(from: &mut Vec<T>, index: usize) {
    if index < from.len() {
        from.remove(index);
    }
}
