//! The pictures in `screenshots/`, made from the window itself at a fixed size with the demo coin:
//! `cargo test --test screenshots -- --ignored`. Ordinary runs do not make them: they need a graphics adapter (a
//! software one will do) and change files. Where there is no adapter each says that it skips.

#![allow(clippy::unwrap_used, reason = "a picture that cannot be made fails its test")]

use std::path::{Path, PathBuf};

use dietell::app::model::action::Action;
use dietell::app::model::bench::Step;
use dietell::app::pages::workshop::Section;
use dietell::app::shell::dialogs::ScriptedDialogs;
use dietell::app::shell::window::{Setup, Window};
use dietell::geometry::{PicturePoint, PictureVector};
use dietell::reference::Side;
use dietell::specimen::{Edit, FactAnswer, PhotoEdit, Ruling, Theme, Verdict};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

#[path = "support/absent.rs"]
mod absent;
#[path = "support/numbers.rs"]
mod numbers;

use numbers::greatest;

fn harness(window: Window, size: [f32; 2]) -> Harness<'static, Window> {
    let mut harness = Harness::builder()
        .with_size(size)
        .with_max_steps(64)
        .with_accessibility_check(true)
        .build_ui_state(
            |ui, window: &mut Window| {
                window.tick(ui.ctx());
                // As in the real window, where the page reaches to the edges.
                let whole = ui.ctx().content_rect();
                let mut page = ui.new_child(egui::UiBuilder::new().max_rect(whole));
                page.set_clip_rect(whole);
                window.frame_ui(&mut page);
            },
            window,
        );
    harness.run();
    harness
}

fn window(cabinet: &Path, theme: Theme) -> Window {
    let mut setup = Setup::for_test(ScriptedDialogs::default(), cabinet.to_owned());
    setup.settings.theme = theme;
    Window::new(setup)
}

/// Where the picture goes: `screenshots/`, or the folder that `SCREENSHOTS` names.
fn keep(harness: &mut Harness<'_, Window>, name: &str) {
    let folder = std::env::var_os("SCREENSHOTS").map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("screenshots"),
        PathBuf::from,
    );
    std::fs::create_dir_all(&folder).unwrap();
    match harness.render() {
        Ok(picture) => picture.save(folder.join(format!("{name}.png"))).unwrap(),
        Err(reason) => absent::skip(&format!(
            "no picture {name} without a graphics adapter ({reason})"
        )),
    }
}

/// The demo coin with all its landmarks placed as its table gives them.
fn demo(cabinet: &Path, theme: Theme, size: [f32; 2]) -> Harness<'static, Window> {
    let mut window = window(cabinet, theme);
    window.push(Action::OpenDemo);
    let mut harness = harness(window, size);
    harness.run();
    let (_, table) = dietell::reference::demo_coins()
        .iter()
        .find(|(name, _)| *name == "circulated-landmarks.csv")
        .unwrap();
    for (placed, row) in csv::Reader::from_reader(*table).records().enumerate() {
        let row = row.unwrap();
        let side = if row[0].eq_ignore_ascii_case("obverse") {
            Side::Obverse
        } else {
            Side::Reverse
        };
        // As a hand places them: within a pixel or two.
        let n = placed as f64;
        let hand = PictureVector::new(1.4 * (2.3 * n).sin(), 1.4 * (3.1 * n).cos());
        let (name, point) = (
            row[1].into(),
            PicturePoint::new(row[2].parse().unwrap(), row[3].parse().unwrap()) + hand,
        );
        let place = PhotoEdit::Place(name, point);
        harness.state_mut().push(Action::edit(Edit::Photo(side, place)));
    }
    harness.run();
    harness
}

#[test]
#[ignore = "makes pictures"]
fn start() {
    let folder = tempfile::tempdir().unwrap();
    let cabinet = folder.path().join("cabinet");
    let mut empty = harness(window(&cabinet, Theme::Light), [1280.0, 800.0]);
    keep(&mut empty, "start-light");
    let mut full = demo(&cabinet, Theme::Dark, [1280.0, 800.0]);
    full.state_mut().push(Action::GoToStart);
    full.run();
    keep(&mut full, "start-dark");
}

#[test]
#[ignore = "makes pictures"]
fn new_specimen() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = window(&folder.path().join("cabinet"), Theme::Light);
    window.push(Action::NewSpecimen);
    let mut harness = harness(window, [1280.0, 800.0]);
    keep(&mut harness, "new-specimen");
}

/// Two landmarks as a hand places them, the rest by the plate: how far from the truth they then lie, in px.
#[test]
fn the_rest_of_the_demo_coins_landmarks_is_placed_by_the_plate() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = demo(&folder.path().join("cabinet"), Theme::Dark, [1280.0, 800.0]);
    let of = |harness: &Harness<'_, Window>| {
        let record = harness.state().bench.as_ref().unwrap().record();
        record.photo(Side::Obverse).unwrap().landmarks.clone()
    };
    let truth = of(&harness);
    // Two far apart: the first, and the one farthest from it.
    let (first, from) = truth.iter().next().map(|(n, q)| (n.clone(), *q)).unwrap();
    let second = truth
        .iter()
        .max_by(|a, b| (*a.1 - from).length().total_cmp(&(*b.1 - from).length()))
        .map(|(n, _)| n.clone())
        .unwrap();
    for name in truth.keys().filter(|name| **name != first && **name != second) {
        let remove = PhotoEdit::Remove(name.clone());
        harness
            .state_mut()
            .push(Action::edit(Edit::Photo(Side::Obverse, remove)));
    }
    harness.run();
    harness.state_mut().push(Action::Snap(
        Side::Obverse,
        dietell::app::model::snapping::Snapping::TheRest,
    ));
    harness.run();
    let placed = of(&harness);
    let worst = greatest(placed.iter().map(|(name, q)| (*q - truth[name]).length()));
    println!(
        "{} of {} placed, the worst {worst:.2} px off",
        placed.len(),
        truth.len()
    );
    // What does not stand out is left to the user; on this photo 7 of 13 do.
    assert!(placed.len() >= 8, "{} placed", placed.len());
    // 0.1 mm on a photo of 86 px/mm.
    assert!(worst < 8.6, "{worst} px off");
    harness.state_mut().push(Action::Undo);
    harness.run();
    assert_eq!(of(&harness).len(), 2, "one step of undo");
}

#[test]
#[ignore = "makes pictures"]
fn align() {
    let folder = tempfile::tempdir().unwrap();
    let cabinet = folder.path().join("cabinet");
    for (theme, size, name) in [
        (Theme::Dark, [1280.0, 800.0], "align-dark"),
        (Theme::Light, [1280.0, 800.0], "align-light"),
        (Theme::Dark, [1920.0, 1080.0], "align-large"),
        (Theme::Light, [1024.0, 700.0], "align-small"),
    ] {
        let mut harness = demo(&cabinet, theme, size);
        let bench = harness.state().bench.as_ref().unwrap();
        let third = bench.set.obverse.landmarks[2].name.clone();
        let at = bench
            .record()
            .photo(Side::Obverse)
            .unwrap()
            .landmarks
            .get(&third)
            .copied();
        harness.state_mut().push(Action::GoToStep(Step::Align));
        if name == "align-dark" {
            // One landmark still to place, the lens beside the pointer.
            let remove = PhotoEdit::Remove(third.clone());
            harness
                .state_mut()
                .push(Action::edit(Edit::Photo(Side::Obverse, remove)));
        }
        harness.state_mut().pages.align.select(Side::Obverse, Some(third));
        harness.run();
        if let (Some(at), Some(sight)) = (at, harness.state().pages.align.seen[Side::Obverse]) {
            harness.hover_at(sight.position(at));
        }
        harness.run();
        keep(&mut harness, name);
    }
}

/// The demo coin with what a careful user answers: the facts, and for every feature the state of its true dies.
fn told(cabinet: &Path, theme: Theme, size: [f32; 2]) -> Harness<'static, Window> {
    let mut harness = demo(cabinet, theme, size);
    let bench = harness.state_mut().bench.as_mut().unwrap();
    bench.edit("answering", None, |record| {
        let set = mint::demo_set();
        for (fact, value) in [("date", "415"), ("mint-mark", "star")] {
            record.facts.insert(fact.into(), FactAnswer::Is(value.to_owned()));
        }
        for (side, die) in [(Side::Obverse, "O4"), (Side::Reverse, "R3")] {
            let part = set.side(side);
            for (feature, state) in &part.die(&die.into()).unwrap().shows {
                record.verdicts.push(Verdict {
                    side,
                    feature: feature.clone(),
                    state: state.clone(),
                    ruling: Ruling::Agrees,
                    note: String::new(),
                    seen: None,
                });
            }
        }
    });
    harness.run();
    harness
}

#[test]
#[ignore = "makes pictures"]
fn compare() {
    let folder = tempfile::tempdir().unwrap();
    for (theme, size, name) in [
        (Theme::Dark, [1280.0, 800.0], "compare-dark"),
        (Theme::Light, [1280.0, 800.0], "compare-light"),
        (Theme::Dark, [1920.0, 1080.0], "compare-large"),
        (Theme::Light, [1024.0, 700.0], "compare-small"),
    ] {
        let mut harness = demo(&folder.path().join(name), theme, size);
        harness.state_mut().push(Action::GoToStep(Step::Compare));
        harness.run();
        if name != "compare-light" {
            harness.key_press(egui::Key::Num3);
            harness.run();
            harness.key_press(egui::Key::A);
            harness.run();
        }
        keep(&mut harness, name);
    }
}

#[test]
#[ignore = "makes pictures"]
fn instruments() {
    let folder = tempfile::tempdir().unwrap();
    for (label, name) in [
        ("Curtain", "curtain"),
        ("Edges", "edges"),
        ("Difference", "difference"),
    ] {
        let mut harness = demo(&folder.path().join(name), Theme::Dark, [1280.0, 800.0]);
        harness.state_mut().push(Action::GoToStep(Step::Compare));
        harness.run();
        harness.get_by_label(label).click();
        harness.run();
        keep(&mut harness, &format!("instrument-{name}"));
    }
}

/// Lays another coin of the demo coin's own obverse die into the cabinet, struck, worn and photographed otherwise.
fn another_coin(cabinet: &Path) {
    use mint::{
        Backdrop, CameraOptions, Framing, JpegOptions, Light, LightKind, StrikeOptions, jpeg_bytes,
        photograph, strike,
    };
    let struck = StrikeOptions {
        wear: 0.45,
        ..StrikeOptions::circulated(7)
    };
    let coin = strike(Side::Obverse, &"O4".into(), &struck).unwrap();
    let camera = CameraOptions {
        size_px: (2000, 2000),
        framing: Framing::Fill(0.86),
        distance_mm: 200.0,
        tilt_deg: 5.0,
        tilt_direction_deg: 120.0,
        turn_deg: 14.0,
        light: Light {
            direction_deg: -20.0,
            elevation_deg: 48.0,
            kind: LightKind::Window,
        },
        backdrop: Backdrop::Cloth,
        defocus_px: 0.8,
        noise: 0.2,
        seed: 99,
        ..CameraOptions::default()
    };
    let shot = photograph(&coin, &camera).unwrap();
    let options = JpegOptions {
        quality: 88,
        turn_flag: 1,
        icc_profile: None,
    };
    let bytes = jpeg_bytes(&shot.pixels, &options).unwrap();
    let open = dietell::reference::open_set("demo").unwrap();
    let path = cabinet.join("coin-from-the-second-tray");
    let set = dietell::specimen::SetReference::to(&open, &path).unwrap();
    let mut record = dietell::specimen::SpecimenRecord::new("Coin from the second tray", set);
    let mut folder = dietell::specimen::SpecimenFolder::create(&path, &record).unwrap();
    let mut photo = folder
        .take_in_bytes(Side::Obverse, "tray 2, 14.jpg", &bytes, shot.pixels.dimensions())
        .unwrap();
    photo.landmarks = shot.landmarks();
    for (n, point) in photo.landmarks.values_mut().enumerate() {
        let n = n as f64;
        *point += PictureVector::new(0.9 * (1.7 * n).sin(), 0.9 * (2.9 * n).cos());
    }
    record.obverse = Some(photo);
    folder.save(&record).unwrap();
    folder.keep_set(&open.set).unwrap();
}

#[test]
#[ignore = "makes pictures"]
fn two_coins() {
    let folder = tempfile::tempdir().unwrap();
    for (theme, size, name) in [
        (Theme::Dark, [1280.0, 800.0], "compare-two-coins"),
        (Theme::Light, [1024.0, 700.0], "compare-two-coins-small"),
    ] {
        let cabinet = folder.path().join(name);
        another_coin(&cabinet);
        let mut harness = demo(&cabinet, theme, size);
        harness.state_mut().push(Action::GoToStep(Step::Compare));
        harness.run();
        harness.get_by_label("Another coin").click();
        harness.run();
        harness
            .get_by_label_contains("Compare with Coin from the second tray")
            .click();
        harness.run();
        harness.key_press(egui::Key::N);
        harness.run();
        harness.key_press(egui::Key::A);
        harness.run();
        harness.key_press(egui::Key::N);
        harness.run();
        harness.key_press(egui::Key::D);
        harness.run();
        harness.key_press(egui::Key::D);
        harness.run();
        harness.get_by_label("More of it on the other coin").click();
        harness.run();
        harness
            .get_by_label("Conclude: same die, this coin earlier")
            .click();
        harness.run();
        keep(&mut harness, name);
    }
}

#[test]
#[ignore = "makes pictures"]
fn standing_and_sheet() {
    let folder = tempfile::tempdir().unwrap();
    for (theme, size, suffix) in [
        (Theme::Dark, [1280.0, 800.0], "dark"),
        (Theme::Light, [1280.0, 800.0], "light"),
    ] {
        let mut harness = told(&folder.path().join(suffix), theme, size);
        for (step, name) in [(Step::Standing, "standing"), (Step::Sheet, "sheet")] {
            harness.state_mut().push(Action::GoToStep(step));
            harness.run();
            keep(&mut harness, &format!("{name}-{suffix}"));
        }
    }
}

#[test]
#[ignore = "makes pictures"]
fn workshop() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = harness(
        window(&folder.path().join("cabinet"), Theme::Dark),
        [1280.0, 800.0],
    );
    harness.state_mut().push(Action::GoToWorkshop);
    harness.run();
    keep(&mut harness, "workshop-door");
    harness.state_mut().open_in_workshop("demo".into());
    harness.run();
    let said: Vec<_> = harness
        .state()
        .notices
        .list()
        .iter()
        .map(|n| n.text.clone())
        .collect();
    assert!(harness.state().workshop.is_some(), "{said:?}");
    for (section, name) in [
        (Section::Coinage, "workshop-coinage"),
        (Section::Design(Side::Obverse), "workshop-design"),
        (Section::Features(Side::Obverse), "workshop-features"),
        (Section::Dies(Side::Reverse), "workshop-dies"),
        (Section::Pairings, "workshop-pairings"),
        (Section::Checks, "workshop-checks"),
    ] {
        harness.state_mut().workshop.as_mut().unwrap().section = section;
        harness.run();
        keep(&mut harness, name);
    }
}
