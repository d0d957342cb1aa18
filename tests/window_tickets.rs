//! A result knows whom it is for. For each kind of work: what comes back is taken in where its specimen, set, other coin
//! or intake is still open, and dropped where another was opened meanwhile. Workers run inline; no display is needed.

#![allow(clippy::unwrap_used, reason = "a test that cannot be set up fails")]

mod synthetic;

use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use dietell::app::model::action::Action;
use dietell::app::model::bench::{Bench, Step};
use dietell::app::model::intake::{Intake, IntakeAction, SetSlot};
use dietell::app::model::other_coin::OtherSlot;
use dietell::app::model::picture_slot::PictureSlot;
use dietell::app::model::snapping::Snapping;
use dietell::app::pages::compare::Beside;
use dietell::app::pages::workshop::{Section, Workshop};
use dietell::app::shell::dialogs::ScriptedDialogs;
use dietell::app::shell::overlay::Overlay;
use dietell::app::shell::window::{Screen, Setup, Window};
use dietell::photo::Picture;
use dietell::pipeline::{self, OpenedSpecimen};
use dietell::reference::merge::Choice;
use dietell::reference::{Plate, SetSource, Side, Sides, open_set, pack, save_set};
use dietell::specimen::{Cabinet, Edit, TextField};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

/// A landmark that the coins of the tests lack.
const LEFT_OUT: &str = "Middle of the eye";
/// The file of the set's plate.
const PLATE: &str = "plates/a.png";

/// The coins' photo, in memory and as a file, and the plate as a file; drawn once.
fn drawn() -> (&'static Arc<Picture>, &'static [u8], &'static [u8]) {
    static DRAWN: OnceLock<(Arc<Picture>, Vec<u8>, Vec<u8>)> = OnceLock::new();
    let (photo, file, plate) = DRAWN.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        synthetic::set_in(folder.path());
        let photo = synthetic::photo_in(folder.path(), "photo.png");
        let read = |file: &Path| std::fs::read(file).unwrap();
        (synthetic::photo(), read(&photo), read(&folder.path().join(PLATE)))
    });
    (photo, file, plate)
}

/// The window with a cabinet and a set on disk.
struct Stage {
    harness: Harness<'static, Window>,
    dialogs: ScriptedDialogs,
    home: tempfile::TempDir,
    /// The photo of every coin, as it is in memory when the coin is opened.
    picture: Arc<Picture>,
}

impl Stage {
    fn new() -> Self {
        let home = tempfile::tempdir().unwrap();
        let dialogs = ScriptedDialogs::default();
        let window = Window::new(Setup::for_test(dialogs.clone(), home.path().join("cabinet")));
        let mut harness = Harness::builder()
            .with_size([1400.0, 1000.0])
            .with_max_steps(64)
            .build_ui_state(
                |ui, window: &mut Window| {
                    window.tick(ui.ctx());
                    window.frame_ui(ui);
                },
                window,
            );
        harness.run_ok();
        std::fs::write(home.path().join("photo.png"), drawn().1).unwrap();
        Self {
            harness,
            dialogs,
            home,
            picture: Arc::clone(drawn().0),
        }
    }

    fn photo(&self) -> PathBuf {
        self.home.path().join("photo.png")
    }

    /// A set in a folder of its own: a die with a marked plate and one whose plate has two landmarks.
    fn set(&self, name: &str) -> PathBuf {
        let folder = self.home.path().join(name);
        let mut set = synthetic::set();
        std::fs::create_dir_all(folder.join("plates")).unwrap();
        for file in [PLATE, "plates/b.png"] {
            std::fs::write(folder.join(file), drawn().2).unwrap();
        }
        let marked = &set.obverse.dies[0].plates[0];
        let plate = Plate {
            file: "plates/b.png".to_owned(),
            landmarks: marked.landmarks.clone().into_iter().take(2).collect(),
            ..marked.clone()
        };
        set.obverse.dies[1].plates.push(plate);
        save_set(&folder, &set).unwrap();
        folder
    }

    /// A coin of a set in the cabinet, its obverse aligned by all landmarks but one.
    fn coin(&self, title: &str, set: &Path) -> OpenedSpecimen {
        let open = open_set(set).unwrap();
        let photos = Sides {
            obverse: Some((self.photo(), Arc::clone(&self.picture))),
            reverse: None,
        };
        let cabinet = self.home.path().join("cabinet");
        let mut made =
            pipeline::new_specimen(&cabinet, title, &open, &photos, &self.window().pictures).unwrap();
        let photo = made.record.obverse.as_mut().unwrap();
        for (name, _, _) in synthetic::LANDMARKS {
            if name != LEFT_OUT {
                photo.landmarks.insert(name.into(), synthetic::truth(name));
            }
        }
        made.folder.as_mut().unwrap().save(&made.record).unwrap();
        made
    }

    fn window(&self) -> &Window {
        self.harness.state()
    }

    fn window_mut(&mut self) -> &mut Window {
        self.harness.state_mut()
    }

    fn bench(&self) -> &Bench {
        self.window().bench.as_ref().unwrap()
    }

    fn workshop(&self) -> &Workshop {
        self.window().workshop.as_ref().unwrap()
    }

    fn workshop_mut(&mut self) -> &mut Workshop {
        self.window_mut().workshop.as_mut().unwrap()
    }

    fn intake(&self) -> &Intake {
        match &self.window().screen {
            Screen::NewSpecimen(intake) => intake,
            _ => panic!("no intake is shown"),
        }
    }

    fn said(&self) -> bool {
        !self.window().notices.list().is_empty()
    }

    /// Asks for something; it is begun in the frame that follows.
    fn ask(&mut self, action: Action) {
        self.window_mut().push(action);
        self.harness.step();
    }

    fn click(&mut self, label: &str) {
        self.harness.get_by_label(label).click();
        self.harness.step();
    }

    /// Asks for something and waits for it.
    fn carry_out(&mut self, action: Action) {
        self.ask(action);
        self.harness.run_ok();
    }

    fn drop_file(&mut self, file: PathBuf) {
        let dropped = &mut self.harness.input_mut().dropped_files;
        dropped.push(Arc::new(Dropped(file)));
        self.harness.step();
    }

    /// Opens a set in the workshop and shows a section.
    fn work_on(&mut self, set: PathBuf, section: Section) {
        self.window_mut().open_in_workshop(set);
        self.harness.run_ok();
        self.workshop_mut().section = section;
        self.harness.run_ok();
    }

    /// What the workers have done by now arrives only after `meanwhile`.
    fn late(&mut self, meanwhile: impl FnOnce(&mut Self)) {
        self.window_mut().set_results_aside();
        meanwhile(self);
        self.window_mut().bring_results_back();
        self.harness.step();
    }
}

/// A file dropped on the window.
#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        std::fs::read(&self.0).map_err(|error| error.to_string())
    }
}

/// A kind of work: how it is begun, and whether its result was taken in by what is open.
struct Kind {
    name: &'static str,
    begin: fn(&mut Stage),
    taken: fn(&Stage) -> bool,
}

/// For each kind: where nothing else is opened the result is taken in, however late; where `another` is opened it is not.
fn each(kinds: &[Kind], stage: impl Fn() -> Stage, another: impl Fn(&mut Stage)) {
    for kind in kinds {
        let mut same = stage();
        (kind.begin)(&mut same);
        assert!(!(kind.taken)(&same), "{}: taken before it was done", kind.name);
        same.late(|_| {});
        same.harness.run_ok();
        let said = same.window().notices.list();
        assert!((kind.taken)(&same), "{}: not taken in; said {said:?}", kind.name);

        let mut other = stage();
        (kind.begin)(&mut other);
        other.late(&another);
        assert!(!(kind.taken)(&other), "{}: taken in by another", kind.name);
        other.harness.run_ok();
        assert!(!other.said(), "{}: said beside another", kind.name);
    }
}

fn on_the_bench() -> Stage {
    let mut stage = Stage::new();
    let set = stage.set("set");
    let coin = stage.coin("First", &set);
    stage.window_mut().put_on_bench(coin);
    stage.harness.run_ok();
    stage
}

#[test]
fn results_for_a_specimen_are_not_taken_by_the_next() {
    let kinds = [
        Kind {
            name: "a photo read again",
            begin: |stage| {
                let bench = stage.window_mut().bench.as_mut().unwrap();
                bench.photo_files = Sides::default();
                bench.pictures = Arc::default();
                stage.harness.step();
            },
            taken: |stage| {
                let photo = stage.bench().photos.obverse.picture();
                photo.is_some_and(|photo| !Arc::ptr_eq(photo, &stage.picture))
            },
        },
        Kind {
            name: "a photo added",
            begin: |stage| stage.ask(Action::ChoosePhoto(Side::Reverse, Some(stage.photo()))),
            taken: |stage| stage.bench().record().reverse.is_some(),
        },
        Kind {
            name: "the path of a photo",
            begin: |stage| {
                stage.dialogs.answer(stage.photo());
                stage.ask(Action::ChoosePhoto(Side::Reverse, None));
            },
            taken: |stage| !matches!(stage.bench().photos.reverse, PictureSlot::Empty),
        },
        Kind {
            name: "the path of a photo in place of another",
            begin: |stage| {
                stage.dialogs.answer(stage.photo());
                stage.ask(Action::ChoosePhoto(Side::Obverse, None));
            },
            taken: |stage| matches!(stage.window().overlay, Overlay::Confirm(_)),
        },
        Kind {
            name: "the rim of a photo",
            begin: |stage| stage.ask(Action::FindRim(Side::Obverse)),
            taken: |stage| stage.bench().record().obverse.as_ref().unwrap().rim.is_some(),
        },
        Kind {
            name: "a plate",
            begin: |stage| {
                stage.window_mut().plates.clear();
                stage.harness.step();
            },
            taken: |stage| {
                let plate = stage.window().plates.peek(&(Side::Obverse, "A".into(), 0));
                plate.is_some_and(|plate| plate.slot.picture().is_some())
            },
        },
        Kind {
            name: "what each zone gives",
            begin: |stage| stage.ask(Action::GoToStep(Step::Compare)),
            taken: |stage| {
                let compare = &stage.window().pages.compare;
                compare.quality_at(Side::Obverse, &"Star".into()).is_some()
            },
        },
        Kind {
            name: "a fine shift",
            begin: |stage| {
                stage.carry_out(Action::GoToStep(Step::Compare));
                stage.click("Fine shift");
            },
            taken: |stage| stage.window().pages.compare.offer.is_some(),
        },
        Kind {
            name: "the sheet",
            begin: |stage| {
                stage.ask(Action::GoToStep(Step::Sheet));
                stage.harness.step();
            },
            taken: |stage| stage.window().pages.sheet.page_count().is_some(),
        },
        Kind {
            name: "the path of the sheet",
            begin: |stage| {
                stage.dialogs.answer(stage.home.path().join("sheet.pdf"));
                stage.ask(Action::ExportSheet(None));
            },
            taken: |stage| stage.home.path().join("sheet.pdf").exists(),
        },
        Kind {
            name: "a saved record",
            begin: |stage| {
                stage.ask(Action::edit(Edit::Text(TextField::Notes, "Seen.".to_owned())));
                stage.ask(Action::Save);
            },
            taken: |stage| stage.bench().saved_revision == 1,
        },
        Kind {
            name: "the path of another coin",
            begin: |stage| {
                stage.dialogs.answer(stage.home.path().join("nowhere"));
                stage.ask(Action::CompareWith(None));
            },
            taken: |stage| !matches!(stage.bench().other, OtherSlot::None),
        },
        Kind {
            name: "the second demo coin",
            begin: |stage| stage.ask(Action::CompareWithDemo),
            taken: |stage| !matches!(stage.bench().other, OtherSlot::None),
        },
    ];
    each(&kinds, on_the_bench, |stage| {
        let set = stage.home.path().join("set");
        let second = stage.coin("Second", &set);
        stage.window_mut().put_on_bench(second);
    });
}

#[test]
fn landmarks_found_for_a_specimen_are_not_placed_on_the_next() {
    let kinds = [Kind {
        name: "snapped landmarks",
        begin: |stage| stage.ask(Action::Snap(Side::Obverse, Snapping::TheRest)),
        taken: Stage::said,
    }];
    each(&kinds, on_the_bench, |stage| {
        let set = stage.home.path().join("set");
        let second = stage.coin("Second", &set);
        stage.window_mut().put_on_bench(second);
    });
}

#[test]
fn landmarks_found_are_not_placed_where_the_photo_was_worked_on_meanwhile() {
    let mut stage = on_the_bench();
    stage.ask(Action::Snap(Side::Obverse, Snapping::TheRest));
    stage.late(|stage| {
        stage.ask(Action::edit(Edit::Text(TextField::Notes, "Seen.".to_owned())));
    });
    stage.harness.run_ok();
    assert!(!stage.said());
}

#[test]
fn a_sheet_written_for_a_specimen_is_told_beside_the_next_whose_export_goes_on() {
    let mut stage = on_the_bench();
    let file = stage.home.path().join("first.pdf");
    stage.ask(Action::ExportSheet(Some(file.clone())));
    stage.late(|stage| {
        let second = stage.coin("Second", &stage.home.path().join("set"));
        stage.window_mut().put_on_bench(second);
        let file = stage.home.path().join("second.pdf");
        stage.ask(Action::ExportSheet(Some(file)));
        stage.window_mut().set_results_aside();
    });
    assert!(file.is_file());
    let told = stage.window().notices.list()[0].text.clone();
    assert!(told.contains("first.pdf"), "{told}");
}

#[test]
fn of_specimens_asked_for_one_after_the_other_the_last_is_shown() {
    let mut stage = on_the_bench();
    let set = stage.home.path().join("set");
    let [second, third] = ["Second", "Third"].map(|title| {
        let made = stage.coin(title, &set);
        made.folder.unwrap().path().to_owned()
    });
    stage.ask(Action::OpenSpecimen(Some(second.clone())));
    stage.late(|stage| stage.carry_out(Action::OpenSpecimen(Some(third))));
    stage.harness.run_ok();
    assert_eq!(stage.bench().record().title, "Third");
    stage.ask(Action::OpenSpecimen(Some(second)));
    stage.late(|_| {});
    stage.harness.run_ok();
    assert_eq!(stage.bench().record().title, "Second");
}

#[test]
fn what_is_changed_while_another_specimen_is_opened_is_saved() {
    let mut stage = on_the_bench();
    let first = stage.bench().folder_path.clone().unwrap();
    let second = stage.coin("Second", &stage.home.path().join("set"));
    let second = second.folder.unwrap().path().to_owned();
    stage.ask(Action::OpenSpecimen(Some(second)));
    stage.late(|stage| {
        stage.ask(Action::edit(Edit::Text(TextField::Notes, "Late.".to_owned())));
    });
    stage.harness.run_ok();
    assert_eq!(stage.bench().record().title, "Second");
    assert_eq!(pipeline::open_specimen(&first).unwrap().record.notes, "Late.");
}

/// The first coin with another beside it.
fn beside_another() -> Stage {
    let mut stage = on_the_bench();
    let set = stage.home.path().join("set");
    stage.coin("Other one", &set);
    stage.coin("Other two", &set);
    stage.carry_out(Action::GoToStep(Step::Compare));
    stage.carry_out(Action::CompareWith(Some(other(&stage, "Other one"))));
    assert_eq!(stage.window().pages.compare.beside, Beside::OtherCoin);
    stage
}

fn other(stage: &Stage, title: &str) -> PathBuf {
    let list = Cabinet::at(&stage.home.path().join("cabinet")).list().unwrap();
    let entry = list.into_iter().find(|entry| entry.title == title);
    entry.unwrap().folder
}

#[test]
fn results_for_another_coin_are_not_taken_by_the_one_in_its_place() {
    let kinds = [
        Kind {
            name: "another coin",
            begin: |stage| {
                stage.carry_out(Action::PutOtherAway);
                stage.ask(Action::CompareWith(Some(other(stage, "Other one"))));
            },
            taken: |stage| {
                let coin = stage.bench().other.coin();
                coin.is_some_and(|coin| coin.record.title == "Other one")
            },
        },
        Kind {
            name: "its photo",
            begin: |stage| {
                stage.ask(Action::ReadOtherAgain(Side::Obverse));
            },
            taken: |stage| {
                let coin = stage.bench().other.coin();
                coin.is_some_and(|coin| {
                    coin.record.title == "Other one" && coin.photos.obverse.picture().is_some()
                })
            },
        },
        Kind {
            name: "a fine shift against it",
            begin: |stage| {
                stage.harness.get_by_label_contains("Star:").click();
                stage.harness.run_ok();
                stage.click("Fine shift");
            },
            taken: |stage| stage.window().pages.compare.offer.is_some(),
        },
    ];
    each(&kinds, beside_another, |stage| {
        let two = other(stage, "Other two");
        stage.carry_out(Action::CompareWith(Some(two)));
        assert_eq!(stage.bench().other.coin().unwrap().record.title, "Other two");
    });
}

fn putting_together() -> Stage {
    let mut stage = Stage::new();
    stage.set("set");
    stage.carry_out(Action::NewSpecimen);
    stage
}

#[test]
fn results_for_an_intake_are_not_taken_by_the_next() {
    let kinds = [
        Kind {
            name: "its set",
            begin: |stage| {
                let set = stage.home.path().join("set");
                stage.ask(Action::Intake(IntakeAction::Set(Some(set))));
            },
            taken: |stage| matches!(&stage.intake().set, SetSlot::Open(open) if open.set.id == "test-coinage"),
        },
        Kind {
            name: "its photo",
            begin: |stage| {
                let photo = stage.photo();
                stage.ask(Action::Intake(IntakeAction::Photo(Side::Obverse, Some(photo))));
            },
            taken: |stage| stage.intake().photos.obverse.slot.picture().is_some(),
        },
        Kind {
            name: "the path of its photo",
            begin: |stage| {
                stage.dialogs.answer(stage.photo());
                stage.ask(Action::Intake(IntakeAction::Photo(Side::Obverse, None)));
            },
            taken: |stage| stage.intake().photos.obverse.file.is_some(),
        },
    ];
    each(&kinds, putting_together, |stage| {
        stage.carry_out(Action::NewSpecimen);
    });
}

fn in_the_workshop() -> Stage {
    let mut stage = Stage::new();
    let (first, second) = (stage.set("first"), stage.set("second"));
    let mut copy = open_set(&second).unwrap().set;
    copy.about = "Changed elsewhere.".to_owned();
    let changed = stage.set("changed");
    save_set(&changed, &copy).unwrap();
    stage.work_on(first, Section::Design(Side::Obverse));
    stage
}

#[test]
fn results_for_a_set_are_not_taken_by_the_next() {
    let kinds = [
        Kind {
            name: "its checks",
            begin: |stage| {
                let workshop = stage.workshop_mut();
                workshop.edit("a word".to_owned(), None, Box::new(|set| set.about.push('.')));
                stage.harness.step();
            },
            taken: |stage| stage.workshop().checked == Some(1),
        },
        Kind {
            name: "its saving",
            begin: |stage| {
                let workshop = stage.workshop_mut();
                workshop.edit("a word".to_owned(), None, Box::new(|set| set.about.push('.')));
                stage.click("Save");
            },
            taken: |stage| stage.workshop().saved_revision == 1,
        },
        Kind {
            name: "a plate of it",
            begin: |stage| {
                stage.workshop_mut().plates.clear();
                stage.harness.step();
            },
            taken: |stage| {
                let plate = stage.workshop().plates.peek(&PLATE.to_owned());
                plate.is_some_and(|plate| plate.slot.picture().is_some())
            },
        },
        Kind {
            name: "the rim on its plate",
            begin: |stage| stage.click("Find the rim"),
            taken: |stage| stage.workshop().design[Side::Obverse].is_drawn(PLATE),
        },
        Kind {
            name: "pictures for it",
            begin: |stage| {
                stage.workshop_mut().section = Section::Dies(Side::Obverse);
                stage.drop_file(stage.photo());
            },
            taken: |stage| stage.workshop().set().obverse.dies.len() == 3,
        },
        Kind {
            name: "the path of a plate for it",
            begin: |stage| {
                stage.dialogs.answer(stage.photo());
                stage.workshop_mut().section = Section::Dies(Side::Obverse);
                stage.workshop_mut().die[Side::Obverse] = Some("A".into());
                stage.harness.run_ok();
                stage.click("Add a plate from a file\u{2026}");
            },
            taken: |stage| stage.workshop().set().obverse.dies[0].plates.len() == 2,
        },
        Kind {
            name: "the path to pack it in",
            begin: |stage| {
                stage.dialogs.answer(stage.home.path().join("packed.dieset"));
                stage.click("Pack to one file\u{2026}");
            },
            taken: |stage| stage.workshop().set().edition == 2,
        },
        Kind {
            name: "the path of a copy to merge",
            begin: |stage| {
                stage.dialogs.answer(stage.home.path().join("changed"));
                stage.click("Merge\u{2026}");
            },
            taken: |stage| stage.workshop().merge.is_some(),
        },
        Kind {
            name: "what merging would change",
            begin: |stage| {
                let changed = stage.home.path().join("changed");
                stage.drop_file(changed);
            },
            taken: |stage| stage.workshop().merge.is_some(),
        },
        Kind {
            name: "the merged set",
            begin: |stage| {
                let changed = stage.home.path().join("changed");
                stage.drop_file(changed);
                stage.harness.run_ok();
                let pending = stage.workshop_mut().merge.as_mut().unwrap();
                pending.choices.fill(Choice::Theirs);
                stage.click("Take in");
            },
            taken: |stage| stage.workshop().history.undo_words() == Some("the merge"),
        },
    ];
    each(&kinds, in_the_workshop, |stage| {
        let second = stage.home.path().join("second");
        stage.work_on(second, Section::Coinage);
    });
}

#[test]
fn landmarks_found_on_a_plate_of_a_set_are_not_told_beside_the_next() {
    let kinds = [Kind {
        name: "the rest of a plate's landmarks",
        begin: |stage| {
            stage.workshop_mut().design[Side::Obverse].plate = Some(("B".into(), 0));
            stage.harness.run_ok();
            stage.click("Place landmarks");
            stage.harness.run_ok();
            stage.click("Place the rest");
        },
        taken: Stage::said,
    }];
    each(&kinds, in_the_workshop, |stage| {
        let second = stage.home.path().join("second");
        stage.work_on(second, Section::Coinage);
    });
}

#[test]
fn a_merge_of_a_set_that_was_changed_meanwhile_is_to_be_begun_again() {
    let mut stage = in_the_workshop();
    let changed = stage.home.path().join("changed");
    stage.drop_file(changed);
    stage.late(|stage| {
        let workshop = stage.workshop_mut();
        workshop.edit("a word".to_owned(), None, Box::new(|set| set.about.push('.')));
    });
    assert!(stage.workshop().merge.is_none());
    let told = stage.window().notices.list()[0].text.clone();
    assert!(told.contains("take the other copy in again"), "{told}");
}

#[test]
fn packing_is_told_beside_the_next_set_whose_edition_stays() {
    let mut stage = in_the_workshop();
    let nowhere = stage.home.path().join("no folder/packed.dieset");
    stage.dialogs.answer(nowhere);
    stage.click("Pack to one file\u{2026}");
    stage.harness.step();
    stage.late(|stage| {
        let second = stage.home.path().join("second");
        stage.work_on(second, Section::Coinage);
        stage.dialogs.answer(stage.home.path().join("second.dieset"));
        stage.click("Pack to one file\u{2026}");
        stage.harness.run_ok();
        assert_eq!(stage.workshop().set().edition, 2);
    });
    assert_eq!(
        stage.workshop().set().edition,
        2,
        "the other's failure took it back"
    );
    assert!(stage.window().notices.list().len() >= 2);
}

#[test]
fn of_sets_asked_for_one_after_the_other_the_last_is_shown() {
    let mut stage = in_the_workshop();
    let (second, changed) = (
        stage.home.path().join("second"),
        stage.home.path().join("changed"),
    );
    stage.window_mut().open_in_workshop(second.clone());
    stage.late(|stage| {
        stage.window_mut().open_in_workshop(changed.clone());
        stage.harness.run_ok();
    });
    stage.harness.run_ok();
    assert_eq!(stage.workshop().folder, changed);
    stage.window_mut().open_in_workshop(second.clone());
    stage.late(|_| {});
    assert_eq!(stage.workshop().folder, second);
}

#[test]
fn a_die_begun_from_a_specimen_changes_no_other_specimen() {
    let from_a_pack = || {
        let mut stage = Stage::new();
        let set = stage.set("set");
        let packed = stage.home.path().join("packed.dieset");
        pack::pack(
            &open_set(&set).unwrap(),
            &packed,
            dietell::files::Replacing::Ours,
            &dietell::photo::Watch::default(),
        )
        .unwrap();
        let coin = stage.coin("First", &packed);
        stage.window_mut().put_on_bench(coin);
        stage.harness.run_ok();
        stage
    };
    let uses_a_copy = |stage: &Stage| matches!(stage.bench().plate_source, Some(SetSource::Folder(_)));
    for meanwhile in [false, true] {
        let mut stage = from_a_pack();
        stage.ask(Action::NewDieFromSpecimen(Side::Obverse));
        stage.late(|stage| {
            if meanwhile {
                let second = stage.coin("Second", &stage.home.path().join("packed.dieset"));
                stage.window_mut().put_on_bench(second);
            }
        });
        stage.harness.run_ok();
        assert_eq!(uses_a_copy(&stage), !meanwhile);
        assert_eq!(stage.workshop().set().obverse.dies.len(), 3);
    }
}
