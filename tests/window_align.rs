//! The window's Align page, by its controls' accessible names and by clicks on the picture. Needs no GPU.

#![allow(clippy::unwrap_used, reason = "a test that cannot be set up fails")]

mod synthetic;

use std::path::Path;

use dietell::app::action::Action;
use dietell::app::dialogs::ScriptedDialogs;
use dietell::app::window::{Setup, Window};
use dietell::reference::Side;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;

fn harness(window: Window) -> Harness<'static, Window> {
    Harness::builder()
        .with_size([1280.0, 800.0])
        .with_max_steps(64)
        .build_ui_state(
            |ui, window: &mut Window| {
                window.tick(ui.ctx());
                window.frame_ui(ui);
            },
            window,
        )
}

/// A window with a specimen made through its own store, both photos chosen.
fn window_with_specimen(folder: &Path) -> (Window, ScriptedDialogs) {
    let dialogs = ScriptedDialogs::default();
    let window = Window::new(Setup::for_test(dialogs.clone(), folder.join("cabinet")));
    synthetic::set_in(&folder.join("set"));
    (window, dialogs)
}

#[test]
#[ignore = "draws"]
fn look() {
    let folder = tempfile::tempdir().unwrap();
    let (mut window, _dialogs) = window_with_specimen(folder.path());
    let photo = synthetic::photo_in(folder.path(), "photo.png");
    let new = dietell::app::store::NewSpecimen {
        title: "Test coin".to_owned(),
        set: Some(folder.path().join("set")),
        photos: [Some(photo.clone()), Some(photo)],
    };
    let opened =
        dietell::app::store::new_specimen(&folder.path().join("cabinet"), &new, &Default::default()).unwrap();
    window.put_on_bench(*opened);
    for (i, (name, _, _)) in synthetic::LANDMARKS.iter().enumerate().take(5) {
        let (name, mut point) = ((*name).into(), synthetic::truth(name));
        point.x += 0.3 * i as f64;
        window.push(Action::edit_photo(
            Side::Obverse,
            "x".to_owned(),
            None,
            move |photo| {
                photo.landmarks.insert(name, point);
            },
        ));
    }
    let mut harness = harness(window);
    harness.run();
    harness.get_by_label("Obverse photo");
    harness.render().unwrap().save("/tmp/align.png").unwrap();
}
