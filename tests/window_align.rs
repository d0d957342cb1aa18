//! The window's Align page and its shell, by the controls' accessible names and by clicks on the picture. Needs no
//! GPU: what is drawn is not looked at here.

#![allow(clippy::unwrap_used, reason = "a test that cannot be set up fails")]

mod synthetic;

use std::cell::Cell;
use std::f64::consts::PI;
use std::path::Path;
use std::rc::Rc;

use dietell::align::Rim;
use dietell::app::model::action::Action;
use dietell::app::shell::dialogs::ScriptedDialogs;
use dietell::app::shell::window::{Screen, Setup, Window};
use dietell::geometry::{PicturePoint, PictureVector, SidePoint};
use dietell::reference::{Side, Sides};
use dietell::specimen::{Edit, PhotoEdit, SidePhoto, SpecimenFolder};
use egui::{Key, Modifiers, Pos2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

fn harness(window: Window) -> Harness<'static, Window> {
    with_a_hold(window).0
}

/// The window, and whether its workers are held up: what was asked of them then waits, as behind long work.
fn with_a_hold(window: Window) -> (Harness<'static, Window>, Rc<Cell<bool>>) {
    let held = Rc::new(Cell::new(false));
    let holds = Rc::clone(&held);
    let mut harness = Harness::builder()
        .with_size([1280.0, 800.0])
        .with_max_steps(64)
        .build_ui_state(
            move |ui, window: &mut Window| {
                if !holds.get() {
                    window.tick(ui.ctx());
                }
                // As in the real window, where the page reaches to the edges.
                let whole = ui.ctx().content_rect();
                let mut page = ui.new_child(egui::UiBuilder::new().max_rect(whole));
                page.set_clip_rect(whole);
                window.frame_ui(&mut page);
            },
            window,
        );
    harness.run();
    (harness, held)
}

/// A window with a specimen of the synthetic coinage, its obverse photo chosen, on the Align page.
fn aligning(folder: &Path) -> Harness<'static, Window> {
    aligning_with_a_hold(folder).0
}

fn aligning_with_a_hold(folder: &Path) -> (Harness<'static, Window>, Rc<Cell<bool>>) {
    let mut window = Window::new(Setup::for_test(
        ScriptedDialogs::default(),
        folder.join("cabinet"),
    ));
    synthetic::set_in(&folder.join("set"));
    let photo = synthetic::photo_in(folder, "photo.png");
    let open = dietell::reference::open_set(folder.join("set")).unwrap();
    let opened = dietell::pipeline::new_specimen(
        &folder.join("cabinet"),
        "Test coin",
        &open,
        &Sides {
            obverse: Some((photo, synthetic::photo())),
            reverse: None,
        },
        &window.pictures,
    )
    .unwrap();
    window.put_on_bench(opened);
    with_a_hold(window)
}

fn photo<'a>(harness: &'a Harness<'_, Window>) -> &'a SidePhoto {
    harness
        .state()
        .bench
        .as_ref()
        .unwrap()
        .record()
        .photo(Side::Obverse)
        .unwrap()
}

/// Where a photo point is on the screen.
fn on_screen(harness: &Harness<'_, Window>, point: PicturePoint) -> Pos2 {
    harness.state().pages.align.seen[Side::Obverse]
        .unwrap()
        .position(point)
}

fn click(harness: &mut Harness<'_, Window>, at: Pos2) {
    harness.hover_at(at);
    harness.drag_at(at);
    harness.drop_at(at);
    harness.run();
}

fn press(harness: &mut Harness<'_, Window>, modifiers: Modifiers, key: Key) {
    harness.key_press_modifiers(modifiers, key);
    harness.run();
}

fn place_all(harness: &mut Harness<'_, Window>) {
    for (name, _, _) in synthetic::LANDMARKS {
        let at = on_screen(harness, synthetic::truth(name));
        click(harness, at);
    }
}

#[test]
fn clicks_place_the_landmarks_one_after_the_other_and_zones_follow() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = aligning(folder.path());
    assert!(harness.query_by_label("Zones").is_some());
    assert!(
        harness.query_by_label("Star").is_none(),
        "no zone before two landmarks"
    );
    place_all(&mut harness);
    assert_eq!(photo(&harness).landmarks.len(), synthetic::LANDMARKS.len());
    for (name, _, _) in synthetic::LANDMARKS {
        let off = photo(&harness).landmarks[&name.into()] - synthetic::truth(name);
        assert!(off.length() < 0.01, "{name} is {} px off", off.length());
    }
    // The zone's row says how far it may be off; the zone lies where the coin shows it.
    assert!(harness.query_by_label("Star").is_some());
    let bench = harness.state_mut().bench.as_mut().unwrap();
    let alignment = bench.derived().alignments.obverse.clone().unwrap().unwrap();
    let zone = SidePoint::new(0.0, -10.0);
    let off = alignment.picture_from_side.point_in_picture(zone)
        - synthetic::photo_from_side().point_in_picture(zone);
    assert!(off.length() < 0.1, "{} px", off.length());
    // All are placed: a further click places nothing.
    let before = photo(&harness).clone();
    let at = on_screen(&harness, PicturePoint::new(500.0, 500.0));
    click(&mut harness, at);
    assert_eq!(*photo(&harness), before);
}

#[test]
fn undo_takes_back_a_placing_and_says_which() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = aligning(folder.path());
    place_all(&mut harness);
    let all = photo(&harness).clone();
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    assert_eq!(photo(&harness).landmarks.len(), synthetic::LANDMARKS.len() - 1);
    let history = &harness.state().bench.as_ref().unwrap().history;
    assert_eq!(
        history.redo_words(),
        Some("placing \u{201c}Middle of the eye\u{201d}")
    );
    press(&mut harness, Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(*photo(&harness), all);
    harness.get_by_label("Undo").click();
    harness.run();
    harness.get_by_label("Undo").click();
    harness.run();
    assert_eq!(photo(&harness).landmarks.len(), synthetic::LANDMARKS.len() - 2);
}

#[test]
fn arrow_keys_move_the_selected_landmark_by_a_tenth_of_a_pixel() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = aligning(folder.path());
    place_all(&mut harness);
    let name = "Foot of the 7".into();
    let before = photo(&harness).landmarks[&name];
    harness.get_by_label("Foot of the 7").click();
    harness.run();
    press(&mut harness, Modifiers::NONE, Key::ArrowRight);
    let right = photo(&harness).landmarks[&name];
    assert!((right.x - before.x - 0.1).abs() < 1e-9 && (right.y - before.y).abs() < 1e-9);
    press(&mut harness, Modifiers::NONE, Key::ArrowUp);
    press(&mut harness, Modifiers::SHIFT, Key::ArrowDown);
    let after = photo(&harness).landmarks[&name];
    assert!((after.y - before.y - 0.9).abs() < 1e-9, "{after:?}");
    press(&mut harness, Modifiers::NONE, Key::Delete);
    assert!(!photo(&harness).landmarks.contains_key(&name));
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    assert_eq!(photo(&harness).landmarks[&name], after);
}

#[test]
fn a_drag_moves_a_landmark_as_one_step_of_undo() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = aligning(folder.path());
    place_all(&mut harness);
    let name = "Stop before B";
    let before = photo(&harness).landmarks[&name.into()];
    let from = on_screen(&harness, before);
    let to = before + dietell::geometry::PictureVector::new(31.0, -22.0);
    harness.hover_at(from);
    harness.drag_at(from);
    harness.run();
    for share in [0.3_f32, 0.6, 1.0] {
        let at = from + (on_screen(&harness, to) - from) * share;
        harness.hover_at(at);
        harness.run();
    }
    let at = on_screen(&harness, to);
    harness.drop_at(at);
    harness.run();
    let moved = photo(&harness).landmarks[&name.into()];
    assert!((moved - to).length() < 0.05, "{moved:?} is not {to:?}");
    // It now disagrees with the other five, and the page says so by name.
    let bench = harness.state_mut().bench.as_mut().unwrap();
    let alignment = bench.derived().alignments.obverse.clone().unwrap().unwrap();
    let told: Vec<_> = alignment
        .landmarks
        .iter()
        .filter(|l| l.disagrees)
        .map(|l| l.name.as_str())
        .collect();
    assert_eq!(told, [name]);
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    assert_eq!(photo(&harness).landmarks[&name.into()], before);
}

#[test]
fn the_wheel_zooms_at_the_pointer_and_a_drag_beside_the_marks_pans() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = aligning(folder.path());
    let under = PicturePoint::new(800.0, 400.0);
    let at = on_screen(&harness, under);
    harness.hover_at(at);
    harness.event(egui::Event::MouseWheel {
        unit: egui::MouseWheelUnit::Point,
        delta: egui::vec2(0.0, 200.0),
        source: egui::MouseWheelSource::Wheel,
        phase: egui::TouchPhase::Move,
        modifiers: Modifiers::NONE,
    });
    harness.run();
    let zoomed = harness.state().pages.align.seen.obverse.unwrap();
    assert!(
        (zoomed.position(under) - at).length() < 0.5,
        "the point under the pointer stays"
    );
    assert!(zoomed.camera.zoom > 1.3 * 0.5, "{}", zoomed.camera.zoom);
    let to = at + egui::vec2(40.0, 25.0);
    harness.drag_at(at);
    harness.hover_at(to);
    harness.drop_at(to);
    harness.run();
    assert!((on_screen(&harness, under) - to).length() < 1.0);
    assert!(photo(&harness).landmarks.is_empty(), "a pan places nothing");
    harness.get_by_label("Fit").click();
    harness.run();
    assert!((on_screen(&harness, under) - at).length() < 0.5);
}

#[test]
fn what_is_placed_is_saved_by_itself_and_opens_again_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = aligning(folder.path());
    place_all(&mut harness);
    let record = harness.state().bench.as_ref().unwrap().record().clone();
    let kept = harness.state().bench.as_ref().unwrap().folder.clone().unwrap();
    let kept = kept.lock().unwrap().path().to_owned();
    assert_ne!(
        SpecimenFolder::open(&kept).unwrap().record,
        record,
        "not yet saved"
    );
    // Two quiet seconds of the harness's clock.
    harness.run_steps(16);
    assert!(!harness.state().is_unsaved());
    assert_eq!(SpecimenFolder::open(&kept).unwrap().record, record);

    let mut other = Window::new(Setup::for_test(
        ScriptedDialogs::default(),
        folder.path().join("cabinet"),
    ));
    other.push(Action::OpenSpecimen(Some(kept)));
    let mut other = self::harness(other);
    other.run();
    let bench = other.state_mut().bench.as_mut().unwrap();
    assert_eq!(*bench.record(), record);
    assert!(
        bench.photos.obverse.picture().is_some(),
        "its photo is read again"
    );
    assert!(bench.derived().alignments.obverse.clone().unwrap().is_ok());
}

#[test]
fn a_new_specimen_is_put_together_from_files() {
    let folder = tempfile::tempdir().unwrap();
    synthetic::set_in(&folder.path().join("set"));
    let dialogs = ScriptedDialogs::default();
    let window = Window::new(Setup::for_test(dialogs.clone(), folder.path().join("cabinet")));
    let mut harness = harness(window);
    harness.get_by_label("New specimen").click();
    harness.run();
    dialogs.answer(folder.path().join("set"));
    harness.get_by_label("Choose the reference set").click();
    harness.run();
    harness.get_by_label("A set's folder\u{2026}").click();
    harness.run();
    assert!(
        harness
            .query_by_label_contains("2 obverse and 2 reverse dies")
            .is_some()
    );
    // A text under a photo's name is refused in its place, and nothing is lost.
    let text = folder.path().join("no photo.jpg");
    std::fs::write(&text, "just words").unwrap();
    dialogs.answer(text);
    harness.get_by_label("Choose the obverse photo\u{2026}").click();
    harness.run();
    let Screen::NewSpecimen(draft) = &harness.state().screen else {
        panic!("still on the form")
    };
    assert!(draft.missing().is_some());
    dialogs.answer(synthetic::photo_in(folder.path(), "my_coin.png"));
    harness.get_by_label("Change the obverse photo").click();
    harness.run();
    let title = harness.get_by_label("Title");
    title.focus();
    title.type_text(" again");
    harness.run();
    harness.get_by_label("Begin").click();
    harness.run();
    let bench = harness.state().bench.as_ref().unwrap();
    assert!(bench.record().title.contains("again"), "{}", bench.record().title);
    assert_eq!(bench.record().set.id, "test-coinage");
    assert!(bench.photos.obverse.picture().is_some());
    assert!(bench.record().reverse.is_none());
    harness.get_by_label("Obverse photo");
}

#[test]
fn what_a_photo_lost_in_reading_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = aligning(folder.path());
    let print = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/pictures/kind_cmyk.jpg");
    let said = "The reverse photo: It is stored in printing colours (CMYK), so its colours are approximate.";
    assert!(harness.query_by_label(said).is_none());
    harness
        .state_mut()
        .push(Action::ChoosePhoto(Side::Reverse, Some(print.into())));
    harness.run();
    harness.get_by_label(said);
}

#[test]
fn another_photo_asks_before_landmarks_are_lost_and_undo_brings_them_back() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = aligning(folder.path());
    place_all(&mut harness);
    let before = photo(&harness).clone();
    let other = folder.path().join("other.png");
    synthetic::picture((900, 700), &synthetic::plate_from_side())
        .save(&other)
        .unwrap();
    harness
        .state_mut()
        .push(Action::ChoosePhoto(Side::Obverse, Some(other.clone())));
    harness.run();
    harness.get_by_label("Keep things as they are").click();
    harness.run();
    assert_eq!(*photo(&harness), before);
    harness
        .state_mut()
        .push(Action::ChoosePhoto(Side::Obverse, Some(other)));
    harness.run();
    harness.get_by_label("Replace the photo").click();
    harness.run();
    assert_eq!(
        (photo(&harness).width_px, photo(&harness).landmarks.len()),
        (900, 0)
    );
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    assert_eq!(*photo(&harness), before);
    harness.run();
    let picture = harness
        .state()
        .bench
        .as_ref()
        .unwrap()
        .photos
        .obverse
        .picture()
        .unwrap()
        .clone();
    assert_eq!(
        picture.width(),
        synthetic::PHOTO_PX.0,
        "the picture in view is the earlier one again"
    );
}

#[test]
fn a_wrong_rim_is_dragged_to_where_the_pointer_is_let_go() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = aligning(folder.path());
    let (w, h) = synthetic::PHOTO_PX;
    let wrong = Rim {
        centre: PicturePoint::new(f64::from(w) / 2.0, f64::from(h) / 2.0),
        long_px: 200.0,
        short_px: 180.0,
        turn_deg: 30.0,
        by_hand: true,
    };
    let set = PhotoEdit::SetRim(wrong);
    harness
        .state_mut()
        .push(Action::edit(Edit::Photo(Side::Obverse, set)));
    harness.run();
    harness
        .get_by_role_and_label(egui::accesskit::Role::Button, "Rim")
        .click();
    harness.run();
    // By the ring, at 75 degrees, where no handle is; the view fits the rim and must not follow it.
    let (sin, cos) = 45_f64.to_radians().sin_cos();
    let (long, short) = (
        wrong.turn_deg.to_radians(),
        wrong.turn_deg.to_radians() + PI / 2.0,
    );
    let on_ring = |share: f64| {
        let along = |angle: f64, by: f64| PictureVector::new(angle.cos(), angle.sin()) * (by * share);
        wrong.centre + along(long, wrong.long_px * cos) + along(short, wrong.short_px * sin)
    };
    let (from, to) = (
        on_screen(&harness, on_ring(1.0)),
        on_screen(&harness, on_ring(0.8)),
    );
    harness.hover_at(from);
    harness.run();
    harness.drag_at(from);
    harness.run();
    for share in [0.3_f32, 0.7, 1.0] {
        harness.hover_at(from + (to - from) * share);
        harness.run();
    }
    harness.drop_at(to);
    harness.run();
    let now = photo(&harness).rim.unwrap();
    assert!((now.long_px - 160.0).abs() < 2.0, "{now:?}");
    assert!(
        (now.short_px - 144.0).abs() < 2.0 && now.centre == wrong.centre,
        "{now:?}"
    );
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    assert_eq!(photo(&harness).rim, Some(wrong), "the drag is one step of undo");
}

#[test]
fn reading_a_photo_is_cancelled_and_the_photo_before_comes_back() {
    let folder = tempfile::tempdir().unwrap();
    let (mut harness, held) = aligning_with_a_hold(folder.path());
    place_all(&mut harness);
    let before = photo(&harness).clone();
    let other = synthetic::photo_in(folder.path(), "another.png");
    harness
        .state_mut()
        .push(Action::ChoosePhoto(Side::Obverse, Some(other)));
    harness.run();
    harness.get_by_label("Replace the photo").click();
    // One frame asks the workers for the photo; they are held up before they take it up.
    harness.step();
    held.set(true);
    harness.run_steps(3);
    assert!(
        harness
            .query_by_label_contains("Reading the obverse photo")
            .is_some()
    );
    harness.get_by_label("Cancel").click();
    harness.run_steps(3);
    held.set(false);
    harness.run();
    assert_eq!(*photo(&harness), before, "the record is as it was");
    let bench = harness.state().bench.as_ref().unwrap();
    assert_eq!(
        bench.photos.obverse.picture().unwrap().width(),
        synthetic::PHOTO_PX.0
    );
    assert!(
        harness
            .query_by_label_contains("Reading the obverse photo")
            .is_none()
    );
    assert!(
        harness
            .query_all_by_label_contains("another.png")
            .next()
            .is_some(),
        "it is said"
    );
}

#[test]
fn the_cabinet_shows_a_coin_that_was_never_opened_in_the_window() {
    let folder = tempfile::tempdir().unwrap();
    synthetic::set_in(&folder.path().join("set"));
    let open = dietell::reference::open_set(folder.path().join("set")).unwrap();
    let cabinet = folder.path().join("cabinet");
    let file = synthetic::photo_in(folder.path(), "photo.png");
    let photos = Sides {
        obverse: Some((file, synthetic::photo())),
        reverse: None,
    };
    let made =
        dietell::pipeline::new_specimen(&cabinet, "Made by a verb", &open, &photos, &Default::default())
            .unwrap();
    let made = made.folder.unwrap().path().to_owned();
    let picture = made.join(dietell::specimen::THUMBNAIL_FILE);
    assert!(!picture.exists());
    let mut harness = harness(Window::new(Setup::for_test(ScriptedDialogs::default(), cabinet)));
    harness.run();
    assert!(picture.is_file());
    assert!(
        harness
            .state()
            .cabinet
            .iter()
            .all(|entry| entry.thumbnail.is_some())
    );
}

#[test]
fn the_key_snaps_the_landmark_placed_last_and_the_photo_shows_from_where() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = aligning(folder.path());
    place_all(&mut harness);
    let (name, _, _) = synthetic::LANDMARKS[0];
    let truth = synthetic::truth(name);
    // Placed anew, 3 px off, with nothing else selected.
    let state = harness.state_mut();
    state.pages.align.select(Side::Obverse, Some(name.into()));
    harness.run();
    press(&mut harness, Modifiers::NONE, Key::Delete);
    let at = on_screen(&harness, truth + PictureVector::new(3.0, 0.0));
    click(&mut harness, at);
    let clicked = photo(&harness).landmarks[&name.into()];
    press(&mut harness, Modifiers::NONE, Key::S);
    harness.run();
    let snapped = harness.state().pages.align.snapped.clone().unwrap();
    let now = photo(&harness).landmarks[&name.into()];
    assert_eq!((snapped.from, snapped.to), (clicked, now));
    assert!((now - truth).length() < (clicked - truth).length());
    press(&mut harness, Modifiers::COMMAND, Key::Z);
    assert_eq!(photo(&harness).landmarks[&name.into()], clicked);
}

#[test]
fn steps_sides_and_keys_are_reached_without_the_mouse() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = aligning(folder.path());
    press(&mut harness, Modifiers::COMMAND, Key::D);
    assert!(harness.query_by_label_contains("No reverse photo yet").is_some());
    press(&mut harness, Modifiers::COMMAND, Key::D);
    press(&mut harness, Modifiers::NONE, Key::F1);
    assert!(harness.query_by_label("Everywhere").is_some());
    press(&mut harness, Modifiers::NONE, Key::Escape);
    assert!(harness.query_by_label("Everywhere").is_none());
    for key in [Key::Num2, Key::Num3, Key::Num4, Key::Num1] {
        press(&mut harness, Modifiers::COMMAND, key);
    }
    assert!(harness.query_by_label("Obverse photo").is_some());
    press(&mut harness, Modifiers::NONE, Key::P);
    assert_eq!(
        harness
            .state()
            .pages
            .align
            .selected(Side::Obverse)
            .unwrap()
            .as_str(),
        "Middle of the eye"
    );
    harness.get_by_label("Obverse photo").focus();
    harness.run();
    press(&mut harness, Modifiers::NONE, Key::Enter);
    assert_eq!(
        photo(&harness).landmarks.len(),
        1,
        "Enter places in the middle of the view"
    );
}
