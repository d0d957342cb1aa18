//! Saving: at once when asked, by itself after a quiet moment, and before the window closes.

use super::overlay::{Confirm, Overlay};
use super::window::Window;
use crate::app::model::action::Action;
use crate::app::model::done::{Done, Outcome};
use crate::app::model::store;
use crate::specimen::SpecimenRecord;

/// When the record was last changed and what is being saved.
#[derive(Debug, Default)]
pub struct Autosave {
    /// The revision seen last, and when it was first seen, in the window's seconds.
    seen: Option<(u64, f64)>,
    /// The revision on its way to the disk.
    pub(super) saving: Option<u64>,
    /// When another program's change was last looked for, in the window's seconds.
    looked_s: f64,
    /// The revision that could not be saved; tried again by itself only after a further change.
    pub(super) failed: Option<u64>,
}

/// How often another program's change is looked for, in s.
const LOOK_S: f64 = 2.0;

/// How long the record must be left alone before it is saved by itself, in s.
pub const QUIET_S: f64 = 2.0;

impl Window {
    /// Whether the open specimen has changes that are not on the disk.
    #[must_use]
    pub fn is_unsaved(&self) -> bool {
        self.bench
            .as_ref()
            .is_some_and(|bench| bench.folder.is_some() && bench.history.revision() != bench.saved_revision)
    }

    /// Saves the record on a worker.
    pub(super) fn save(&mut self) {
        let Some(bench) = &self.bench else { return };
        let revision = bench.history.revision();
        if !self.is_unsaved() || self.autosave.saving == Some(revision) {
            return;
        }
        let Some(folder) = bench.folder.clone() else {
            return;
        };
        let (record, ticket) = (bench.record().clone(), bench.ticket.clone());
        self.autosave.saving = Some(revision);
        self.workers
            .slow(move || ticket.with(Done::Saved(revision, store::save(&folder, &record))));
    }

    /// Saves the record now, on this thread: before another specimen opens, and before the window closes.
    ///
    /// # Errors
    /// A problem for the user.
    pub fn save_now(&mut self) -> Outcome<()> {
        if !self.is_unsaved() {
            return Ok(());
        }
        let Some(bench) = &mut self.bench else {
            return Ok(());
        };
        let Some(folder) = &bench.folder else {
            return Ok(());
        };
        let note = store::save(folder, bench.record())?;
        bench.saved_revision = bench.history.revision();
        if let Some(note) = note {
            self.notices.problem(note);
        }
        Ok(())
    }

    /// Saves by itself once the record was left alone for [`QUIET_S`].
    pub(super) fn autosave(&mut self, ctx: &egui::Context) {
        let Some(bench) = &self.bench else { return };
        let (revision, now_s) = (bench.history.revision(), ctx.input(|i| i.time));
        let since_s = match self.autosave.seen {
            Some((seen, since_s)) if seen == revision => since_s,
            _ => {
                self.autosave.seen = Some((revision, now_s));
                now_s
            }
        };
        if !self.is_unsaved()
            || self.autosave.failed == Some(revision)
            || self.autosave.saving == Some(revision)
        {
            self.look_elsewhere(ctx, now_s);
            return;
        }
        let left_s = QUIET_S - (now_s - since_s);
        if left_s <= 0.0 {
            self.save();
        } else {
            ctx.request_repaint_after(std::time::Duration::from_secs_f64(left_s));
        }
    }

    /// Now and then looks whether another program changed the record, to show its change at once.
    fn look_elsewhere(&mut self, ctx: &egui::Context, now_s: f64) {
        let Some(folder) = self.bench.as_ref().and_then(|bench| bench.folder.clone()) else {
            return;
        };
        let Some(bench) = self.bench.as_ref().filter(|_| !self.is_unsaved()) else {
            return;
        };
        ctx.request_repaint_after(std::time::Duration::from_secs_f64(LOOK_S));
        if now_s - self.autosave.looked_s < LOOK_S {
            return;
        }
        self.autosave.looked_s = now_s;
        let ticket = bench.ticket.at_revision(bench.history.revision());
        self.workers
            .slow(move || ticket.with(Done::ChangedElsewhere(store::changed_elsewhere(&folder))));
    }

    /// Takes in what another program changed, as one step of undo; for the record as it was when it was looked at.
    pub(in crate::app) fn take_elsewhere(&mut self, changed: Option<Box<SpecimenRecord>>) {
        if let (Some(record), Some(bench)) = (changed, &mut self.bench) {
            bench.edit("what another window or program changed", None, |now| {
                *now = *record
            });
            self.notices
                .done("Another window or program changed this specimen; its change is shown.");
        }
    }

    /// Before the window closes the record is saved; where that fails the user decides.
    pub(super) fn watch_close(&mut self, ctx: &egui::Context) {
        if !ctx.input(|i| i.viewport().close_requested()) || self.close_anyway {
            return;
        }
        if let Err(sentence) = self.save_now().and_then(|()| self.save_workshop_now()) {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.overlay = Overlay::Confirm(Box::new(Confirm {
                question: format!("{sentence} The changes since the last saving would be lost."),
                yes: "Close without saving",
                then: Action::CloseAnyway,
            }));
        }
    }

    /// Names the specimen and whether it is saved in the window's title.
    pub(super) fn follow_title(&mut self, ctx: &egui::Context) {
        let title = match &self.bench {
            Some(bench) => {
                let mark = if self.is_unsaved() { "* " } else { "" };
                format!("{mark}{} \u{2013} Dietell", bench.record().title)
            }
            None => "Dietell".to_owned(),
        };
        if self.shown_title.as_ref() != Some(&title) {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.shown_title = Some(title);
        }
    }
}
