//! From nothing to an attributed coin.

use dietell::app::pages::workshop::Section;
use dietell::evidence::Outcome;
use dietell::geometry::{SidePoint, SideVector};
use dietell::reference::{Severity, Side, open_set};
use egui::accesskit::Role;
use egui_kittest::kittest::Queryable as _;
use mint::{self, CameraOptions, JpegOptions, Shot, StrikeOptions};

use super::driver::{User, mint_plate, some_landmarks};

/// The features that the test gives its set: the question, and what the first and the second die show.
const FEATURES: [(&str, [&str; 2]); 2] = [
    (
        "Does the septum reach the wall?",
        ["it ends short of it", "it reaches it"],
    ),
    ("Is the U cut twice?", ["cut once", "cut twice"]),
];

#[test]
fn a_set_made_from_blank_attributes_a_minted_coin() {
    let mut user = User::with_new_set("Five varn, from my tray");
    assert_eq!(user.workshop().set().title, "Five varn, from my tray");
    let diameter = user.harness.get_by_role_and_label(Role::SpinButton, "Diameter");
    diameter.set_value_accesskit(28.0);
    user.harness.run_ok();
    assert!((user.workshop().set().measures.diameter_mm - 28.0).abs() < 1e-9);

    // Two features a side tell an unlisted die badly; the author knows the series and says so.
    let label = "Share with an unlisted obverse die";
    user.harness
        .get_by_role_and_label(Role::SpinButton, label)
        .scroll_to_me();
    user.harness.run_ok();
    user.harness
        .get_by_role_and_label(Role::SpinButton, label)
        .set_value_accesskit(0.01);
    user.harness.run_ok();
    assert!((user.workshop().set().unlisted.obverse_die - 0.01).abs() < 1e-9);

    let names = draw_the_first_plate(&mut user);
    place_on_the_second_plate(&mut user, &names);
    ask_and_answer(&mut user);
    pair(&mut user);

    user.click_containing("Checks");
    assert_eq!(user.workshop().section, Section::Checks);
    user.look("checks");
    let findings = user.workshop().findings.clone().unwrap();
    let errors: Vec<_> = findings
        .iter()
        .filter(|f| f.severity == Severity::Error)
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
    user.click("Save");
    assert!(!user.workshop().is_unsaved());
    let set_folder = user.workshop().folder.clone();
    assert_eq!(&open_set(&set_folder).unwrap().set, user.workshop().set());
    user.click("Start");

    attribute(&mut user, &names);
    begin_a_die_from_it(&mut user, names.len());
    assert_eq!(&open_set(&set_folder).unwrap().set, user.workshop().set());
}

/// The first die with its plate: the rim is found, landmarks are clicked and named, two zones are drawn.
fn draw_the_first_plate(user: &mut User) -> Vec<String> {
    let (file, shot) = mint_plate(user.home(), "O1");
    user.dialogs.answer(file);
    user.click("Obverse design (0)");
    user.click("Add the first die");
    user.click("Add a plate of die O1\u{2026}");
    user.click("Find the rim");
    let drafts = &user.workshop().design[Side::Obverse].rims;
    let draft = drafts.values().next().copied().unwrap();
    let centre = shot.truth.point_in_picture(SidePoint::origin());
    assert!(
        (draft.rim.centre - centre).length() < 2.0,
        "the rim was found elsewhere: {draft:?}"
    );

    user.click("Place landmarks");
    let marks = some_landmarks(&shot, 6);
    for (_, point) in &marks {
        let at = user.on_plate(Side::Obverse, *point);
        user.tap(at);
    }
    assert_eq!(user.workshop().set().obverse.landmarks.len(), marks.len());
    for (i, (name, _)) in marks.iter().enumerate() {
        user.click(&format!("{} landmark {}", i + 1, i + 1));
        user.fill("Where it is, in words", name);
    }
    let demo = mint::demo_set();
    for landmark in &user.workshop().set().obverse.landmarks {
        // The plate is turned a little and its rim is found to about a hundredth of the radius, so that places agree
        // with the minted truth to that after a small turn about the centre: compare distances from it.
        let truth = demo.obverse.landmark(&landmark.name).unwrap();
        let off = landmark.place_mm.to_vector().length() - truth.place_mm.to_vector().length();
        assert!(off.abs() < 0.35, "{} is {off:.3} mm off", landmark.name);
    }

    user.click("Draw zones");
    for id in ["septum", "u-of-harbour"] {
        let zone = demo.obverse.zone(&id.into()).unwrap();
        let half = SideVector::new(zone.size_mm.0, zone.size_mm.1) / 2.0;
        let corner = |by| {
            let point = shot.truth.point_in_picture(zone.centre_mm + by);
            user.on_plate(Side::Obverse, point)
        };
        let (from, to) = (corner(-half), corner(half));
        user.drag(from, to);
    }
    assert_eq!(user.workshop().set().obverse.zones.len(), 2);
    marks.into_iter().map(|(name, _)| name).collect()
}

/// A second die: two landmarks by hand, the rest proposed and looked at.
fn place_on_the_second_plate(user: &mut User, names: &[String]) {
    let (file, shot) = mint_plate(user.home(), "O4");
    user.click("Obverse dies (1)");
    user.click("Add a die");
    user.dialogs.answer(file);
    user.click("Add a plate from a file\u{2026}");
    user.click("Place landmarks on plate 1 of die O2");
    user.click("Place landmarks");
    for i in [0, 3] {
        user.click_containing(&format!("{} {}", i + 1, names[i]));
        let point = shot.landmarks()[&names[i].as_str().into()];
        let at = user.on_plate(Side::Obverse, point);
        user.tap(at);
    }
    user.click("Place the rest");
    let set = user.workshop().set().clone();
    let plate = &set.obverse.dies[1].plates[0];
    assert_eq!(plate.landmarks.len(), names.len());
    for (name, point) in &plate.landmarks {
        let off = (*point - shot.landmarks()[name]).length();
        assert!(off < 1.5, "{name} was proposed {off:.2} px off");
    }
    // They are shown as proposed, can be taken back together, and are kept once looked at.
    assert!(user.says("4 proposed:"));
    assert!(user.says("(proposed)"));
    user.look("proposed");
    user.click("Take them back");
    assert_eq!(user.workshop().set().obverse.dies[1].plates[0].landmarks.len(), 2);
    user.click("Undo");
    assert_eq!(user.workshop().set(), &set);
    user.click("Undo");
    user.click("Place the rest");
    user.click("Keep them");
    assert!(!user.says("(proposed)"));
    assert_eq!(user.workshop().set(), &set);
}

/// Two features with two states each, and what the dies show.
fn ask_and_answer(user: &mut User) {
    user.click("Obverse features (0)");
    for (n, (question, states)) in (1..).zip(FEATURES) {
        user.click("Add a feature");
        user.fill(&format!("Question of feature {n}"), question);
        for (state, words) in ["a", "b"].iter().zip(states) {
            user.fill(&format!("What state {state} of feature {n} looks like"), words);
        }
    }
    user.choose("Zone of feature 2", "zone 2: ");
    user.look("features");
    let set = user.workshop().set();
    assert_eq!(set.obverse.features[0].zone, set.obverse.zones[0].id);
    assert_eq!(set.obverse.features[1].zone, set.obverse.zones[1].id);
    user.click("Obverse dies (2)");
    for (question, states) in FEATURES {
        for (die, (state, words)) in ["O1", "O2"].iter().zip(["a", "b"].iter().zip(states)) {
            user.click(&format!("{question} of die {die}: \u{2013}"));
            user.click(&format!("{state}: {words}"));
        }
    }
    user.look("dies");
    let shows = &user.workshop().set().obverse.dies[1].shows;
    assert_eq!(shows.values().map(|s| s.as_str()).collect::<Vec<_>>(), ["b", "b"]);
}

/// A reverse die known in words only, and the pairings.
fn pair(user: &mut User) {
    user.click("Reverse dies (0)");
    user.click("Add a die");
    user.click("Pairings (0)");
    for number in ["FT 1", "FT 2"] {
        user.click("Add a pairing");
        user.fill("Catalogue number", number);
    }
    user.click("Undo");
    user.click("Redo");
    user.choose("Obverse die", "O2");
    let pairings = &user.workshop().set().pairings;
    let dies: Vec<_> = pairings.iter().map(|p| p.obverse.as_str()).collect();
    assert_eq!(dies, ["O1", "O2"]);
}

/// Attributes a coin of the second die with the set just made.
fn attribute(user: &mut User, names: &[String]) {
    let shot = photograph_a_coin();
    let photo = user.home().join("coin.jpg");
    mint::write_jpeg(&shot.pixels, &photo, &JpegOptions::default()).unwrap();

    user.click("New specimen");
    user.choose("Choose the reference set", "Five varn from my tray");
    user.dialogs.answer(photo);
    user.click("Choose the obverse photo\u{2026}");
    user.fill("Title", "Tray 3");
    user.click("Begin");

    for (_, point) in &some_landmarks(&shot, names.len()) {
        let sight = user.harness.state().pages.align.seen[Side::Obverse].unwrap();
        user.tap(sight.position(*point));
    }
    let bench = user.harness.state_mut().bench.as_mut().unwrap();
    assert_eq!(bench.record().title, "Tray 3");
    assert!(bench.derived().alignments.obverse.as_ref().unwrap().is_ok());

    user.click("Compare");
    for (question, [_, shown]) in FEATURES {
        user.click_containing(&format!("{question}:"));
        user.click(&format!("Agrees: {shown}"));
        user.click("the other differs");
        user.look("judged");
    }
    user.click("Standing");
    let bench = user.harness.state_mut().bench.as_mut().unwrap();
    assert_eq!(bench.record().verdicts.len(), 4);
    assert!(bench.record().verdicts.iter().all(|v| v.seen.is_some()));
    let standing = bench.derived().standing.clone();
    assert_eq!(standing.outcome, Outcome::Settled { pairing: 1 });
    assert!(user.says("FT 2"));
}

fn photograph_a_coin() -> Shot {
    let coin = mint::strike(Side::Obverse, &"O4".into(), &StrikeOptions::as_struck(5)).unwrap();
    let camera = CameraOptions {
        size_px: (900, 900),
        turn_deg: 33.0,
        tilt_deg: 6.0,
        ..CameraOptions::default()
    };
    mint::photograph(&coin, &camera).unwrap()
}

/// The same coin begins a new die: its plate, landmarks and states come along.
fn begin_a_die_from_it(user: &mut User, landmarks: usize) {
    let label = "New obverse die from this coin\u{2026}";
    user.harness.get_by_label(label).scroll_to_me();
    user.harness.run_ok();
    user.click(label);
    let set = user.workshop().set();
    assert_eq!(user.workshop().section, Section::Dies(Side::Obverse));
    let die = set.obverse.dies.last().unwrap();
    assert_eq!(die.id.as_str(), "O3");
    assert_eq!(die.plates[0].landmarks.len(), landmarks);
    assert_eq!(die.shows.len(), 2);
}
