//! The set workshop: a set is made from blank by the window's own controls, from minted pictures alone, and a minted
//! coin is then attributed with it. Work runs inline; no display or graphics card is needed.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::path::{Path, PathBuf};

use dietell::app::action::Action;
use dietell::app::dialogs::ScriptedDialogs;
use dietell::app::store;
use dietell::app::window::{Setup, Window};
use dietell::app::workshop::{Section, Workshop};
use dietell::evidence::Outcome;
use dietell::geometry::{PicturePoint, SidePoint};
use dietell::mint::{self, CameraOptions, JpegOptions, Shot, StrikeOptions};
use dietell::reference::{Severity, Side, open_set};
use egui::accesskit::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

/// Plates of this size are quick to mint and large enough to click on.
const PLATE_PX: u32 = 700;

fn harness(window: Window) -> Harness<'static, Window> {
    Harness::builder()
        .with_size([1400.0, 1000.0])
        .with_max_steps(64)
        .build_ui_state(
            |ui, window: &mut Window| {
                window.tick(ui.ctx());
                window.frame_ui(ui);
            },
            window,
        )
}

fn click(harness: &mut Harness<'_, Window>, label: &str) {
    let found = harness.query_all_by_label(label).count();
    assert_eq!(found, 1, "{found} controls are named {label:?}:\n{harness:?}");
    harness.get_by_label(label).click();
    harness.run_ok();
}

fn fill(harness: &mut Harness<'_, Window>, role: Role, label: &str, text: &str) {
    harness.get_by_role_and_label(role, label).focus();
    harness.run_ok();
    harness
        .get_by_role_and_label(role, label)
        .set_text_value_accesskit(text);
    harness.run_ok();
    harness.key_press(egui::Key::Tab);
    harness.run_ok();
}

fn workshop<'a>(harness: &'a Harness<'_, Window>) -> &'a Workshop {
    harness.state().workshop.as_ref().unwrap()
}

/// Where a picture point of the plate in view is on the screen.
fn on_screen(harness: &Harness<'_, Window>, point: PicturePoint) -> egui::Pos2 {
    workshop(harness).design[0].sight.unwrap().position(point)
}

fn press(harness: &mut Harness<'_, Window>, from: PicturePoint, to: PicturePoint) {
    let (from, to) = (on_screen(harness, from), on_screen(harness, to));
    harness.hover_at(from);
    harness.run_ok();
    harness.drag_at(from);
    harness.run_ok();
    harness.hover_at(to);
    harness.run_ok();
    harness.drop_at(to);
    harness.run_ok();
}

/// A click; pressed and let go at once, since a long press is none.
fn tap(harness: &mut Harness<'_, Window>, point: PicturePoint) {
    let at = on_screen(harness, point);
    harness.hover_at(at);
    harness.step();
    harness.drag_at(at);
    harness.drop_at(at);
    harness.run_ok();
}

fn mint_plate(folder: &Path, die: &str) -> (PathBuf, Shot) {
    let shot = mint::plate(Side::Obverse, &die.into(), PLATE_PX).unwrap();
    let file = folder.join(format!("{die}.jpg"));
    mint::write_jpeg(&shot.pixels, &file, &JpegOptions::default()).unwrap();
    (file, shot)
}

/// The landmarks that are clicked, by their names in the demo design.
fn some_landmarks(shot: &Shot, count: usize) -> Vec<(String, PicturePoint)> {
    shot.landmarks()
        .into_iter()
        .take(count)
        .map(|(name, p)| (name.0, p))
        .collect()
}

#[test]
fn a_set_made_from_blank_attributes_a_minted_coin() {
    let folder = tempfile::tempdir().unwrap();
    let dialogs = ScriptedDialogs::default();
    let window = Window::new(Setup::for_test(dialogs.clone(), folder.path().join("cabinet")));
    let mut harness = harness(window);
    harness.run_ok();
    harness.state_mut().push(Action::GoToWorkshop);
    harness.run_ok();

    // Begin.
    fill(&mut harness, Role::TextInput, "Title", "Five varn, from my tray");
    click(&mut harness, "Begin");
    assert_eq!(workshop(&harness).set().title, "Five varn, from my tray");
    let diameter = harness.get_by_role_and_label(Role::SpinButton, "Diameter");
    diameter.set_value_accesskit(28.0);
    harness.run_ok();
    assert!((workshop(&harness).set().measures.diameter_mm - 28.0).abs() < 1e-9);

    // The first die with its plate: the rim is found, landmarks and two zones are drawn.
    let (first_file, first) = mint_plate(folder.path(), "O1");
    let (second_file, second) = mint_plate(folder.path(), "O4");
    dialogs.answer(first_file);
    click(&mut harness, "Obverse design (0)");
    click(&mut harness, "Add the first die");
    click(&mut harness, "Add a plate of die O1\u{2026}");
    click(&mut harness, "Find the rim");
    let draft = workshop(&harness).design[0]
        .drafts
        .values()
        .next()
        .copied()
        .unwrap();
    let centre = first.truth.point_in_picture(SidePoint::origin());
    assert!(
        (draft.rim.centre - centre).length() < 2.0,
        "the rim was found elsewhere: {draft:?}"
    );

    click(&mut harness, "Place landmarks");
    let marks = some_landmarks(&first, 6);
    for (_, point) in &marks {
        tap(&mut harness, *point);
    }
    assert_eq!(workshop(&harness).set().obverse.landmarks.len(), marks.len());
    for (i, (name, _)) in marks.iter().enumerate() {
        click(&mut harness, &format!("{} landmark {}", i + 1, i + 1));
        fill(&mut harness, Role::TextInput, "Where it is, in words", name);
    }
    let demo = mint::demo_set();
    for landmark in &workshop(&harness).set().obverse.landmarks {
        // The plate is turned a little and its rim is found to about a hundredth of the radius, so that places agree
        // with the minted truth to that after a small turn about the centre: compare distances from it.
        let truth = demo.obverse.landmark(&landmark.name).unwrap();
        let off = landmark.place_mm.to_vector().length() - truth.place_mm.to_vector().length();
        assert!(off.abs() < 0.35, "{} is {off:.3} mm off", landmark.name);
    }

    click(&mut harness, "Draw zones");
    for id in ["septum", "u-of-harbour"] {
        let zone = demo.obverse.zone(&id.into()).unwrap();
        let half = dietell::geometry::SideVector::new(zone.size_mm.0 / 2.0, zone.size_mm.1 / 2.0);
        let from = first.truth.point_in_picture(zone.centre_mm - half);
        let to = first.truth.point_in_picture(zone.centre_mm + half);
        press(&mut harness, from, to);
    }
    assert_eq!(workshop(&harness).set().obverse.zones.len(), 2);

    // A second die: two landmarks by hand, the rest proposed.
    click(&mut harness, "Obverse dies (1)");
    click(&mut harness, "Add a die");
    dialogs.answer(second_file);
    click(&mut harness, "Add a plate from a file\u{2026}");
    click(&mut harness, "Place landmarks");
    click(&mut harness, "Place landmarks");
    for (i, (name, _)) in marks.iter().enumerate().filter(|(i, _)| [0, 3].contains(i)) {
        harness
            .get_by_label_contains(&format!("{} {name}", i + 1))
            .click();
        harness.run_ok();
        let point = second.landmarks()[&name.as_str().into()];
        tap(&mut harness, point);
    }
    click(&mut harness, "Place the rest");
    let set = workshop(&harness).set().clone();
    let plate = &set.obverse.dies[1].plates[0];
    for (name, truth) in second
        .landmarks()
        .iter()
        .filter(|(n, _)| plate.landmarks.contains_key(n))
    {
        let off = (plate.landmarks[name] - *truth).length();
        assert!(off < 6.0, "{name} was proposed {off:.1} px off");
    }
    assert_eq!(plate.landmarks.len(), marks.len());

    // Two features with two states each, and what the dies show.
    click(&mut harness, "Obverse features (0)");
    for question in ["Does the septum reach the wall?", "Is the U cut twice?"] {
        click(&mut harness, "Add a feature");
        let fields: Vec<_> = harness
            .query_all_by_role_and_label(Role::TextInput, "Question")
            .collect();
        fields.last().unwrap().set_text_value_accesskit(question);
        harness.run_ok();
    }
    let second_zone = set.obverse.zones[1].id.clone();
    harness.state_mut().workshop.as_mut().unwrap().edit(
        "the zone".to_owned(),
        None,
        Box::new(move |set| set.obverse.features[1].zone = second_zone),
    );
    click(&mut harness, "Obverse dies (2)");
    for (question, first_state, second_state) in [
        ("Does the septum reach the wall?", "a", "b"),
        ("Is the U cut twice?", "a", "b"),
    ] {
        for (die, state) in [("O1", first_state), ("O2", second_state)] {
            click(&mut harness, &format!("{question} of die {die}: \u{2013}"));
            harness.get_by_label_contains(&format!("{state}: ")).click();
            harness.run_ok();
        }
    }
    let shows = &workshop(&harness).set().obverse.dies[1].shows;
    assert_eq!(shows.values().map(|s| s.as_str()).collect::<Vec<_>>(), ["b", "b"]);

    // A reverse die known in words only, and the pairings.
    click(&mut harness, "Reverse dies (0)");
    click(&mut harness, "Add a die");
    click(&mut harness, "Pairings (0)");
    for number in ["FT 1", "FT 2"] {
        click(&mut harness, "Add a pairing");
        fill(&mut harness, Role::TextInput, "Catalogue number", number);
    }
    click(&mut harness, "Undo");
    click(&mut harness, "Redo");
    let o2 = workshop(&harness).set().obverse.dies[1].id.clone();
    harness.state_mut().workshop.as_mut().unwrap().edit(
        "the die".to_owned(),
        None,
        Box::new(move |set| set.pairings[1].obverse = o2),
    );
    harness.run_ok();
    harness.get_by_label_contains("Checks").click();
    harness.run_ok();
    assert_eq!(workshop(&harness).section, Section::Checks);
    let findings = workshop(&harness).findings.clone().unwrap();
    let errors: Vec<_> = findings
        .iter()
        .filter(|f| f.severity == Severity::Error)
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
    click(&mut harness, "Save");
    assert!(!workshop(&harness).is_unsaved());
    let set_folder = workshop(&harness).folder.clone();
    assert_eq!(&open_set(&set_folder).unwrap().set, workshop(&harness).set());
    click(&mut harness, "Start");

    attribute(&mut harness, folder.path(), &set_folder);
}

/// Attributes a coin of the second die with the set just made.
fn attribute(harness: &mut Harness<'_, Window>, folder: &Path, set_folder: &Path) {
    let coin = mint::strike(Side::Obverse, &"O4".into(), &StrikeOptions::as_struck(5)).unwrap();
    let camera = CameraOptions {
        size_px: (900, 900),
        turn_deg: 33.0,
        tilt_deg: 6.0,
        ..CameraOptions::default()
    };
    let shot = mint::photograph(&coin, &camera).unwrap();
    let photo = folder.join("coin.jpg");
    mint::write_jpeg(&shot.pixels, &photo, &JpegOptions::default()).unwrap();
    let specimen = folder.join("cabinet/tray 3");
    let arguments = [
        "new".into(),
        specimen.clone().into_os_string(),
        "--set".into(),
        set_folder.as_os_str().to_owned(),
        "--obverse".into(),
        photo.into_os_string(),
    ];
    let mut said = Vec::new();
    let exit = dietell::headless::run(arguments, &mut Vec::new(), &mut said);
    assert_eq!(
        exit,
        dietell::headless::Exit::Done,
        "{}",
        String::from_utf8_lossy(&said)
    );
    let opened = store::open_specimen(&specimen).unwrap();
    harness.state_mut().put_on_bench(*opened);
    let marks = some_landmarks(&shot, 6);
    harness
        .state_mut()
        .push(Action::edit("the landmarks", move |record| {
            let photo = record.obverse.as_mut().unwrap();
            photo.landmarks = marks
                .into_iter()
                .map(|(name, p)| (name.as_str().into(), p))
                .collect();
        }));
    harness.run_ok();
    let bench = harness.state_mut().bench.as_mut().unwrap();
    assert!(bench.derived().alignments[0].as_ref().unwrap().is_ok());
    let features = bench.set.obverse.features.clone();
    for feature in features {
        harness
            .state_mut()
            .push(Action::edit("the verdict", move |record| {
                record.verdicts.push(dietell::specimen::Verdict {
                    side: Side::Obverse,
                    feature: feature.id,
                    state: "b".into(),
                    ruling: dietell::specimen::Ruling::Agrees,
                    note: String::new(),
                    seen: None,
                });
            }));
    }
    harness.run_ok();
    let standing = harness
        .state_mut()
        .bench
        .as_mut()
        .unwrap()
        .derived()
        .standing
        .clone();
    assert_eq!(standing.outcome, Outcome::Settled { pairing: 1 });

    // The same coin begins a new die: its plate, landmarks and states come along.
    harness
        .state_mut()
        .push(Action::GoToStep(dietell::app::bench::Step::Standing));
    harness.run_ok();
    harness
        .get_by_label("New obverse die from this coin\u{2026}")
        .scroll_to_me();
    harness.run_ok();
    click(harness, "New obverse die from this coin\u{2026}");
    let set = workshop(harness).set();
    assert_eq!(workshop(harness).section, Section::Dies(Side::Obverse));
    let die = set.obverse.dies.last().unwrap();
    assert_eq!(die.id.as_str(), "O3");
    assert_eq!(die.plates[0].landmarks.len(), 6);
    assert_eq!(die.shows.len(), 2);
    assert_eq!(&open_set(set_folder).unwrap().set, set);
}
