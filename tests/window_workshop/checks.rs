//! What there is to mend, each with the way there.

use dietell::app::pages::workshop::Section;
use dietell::reference::{Place, ReferenceSet, Severity, Side, save_set};
use egui_kittest::kittest::Queryable as _;

use super::driver::User;

/// The demo set in a folder of its own, changed, open in the workshop on the page of checks.
fn checking(change: impl FnOnce(&mut ReferenceSet)) -> User {
    let mut user = User::new();
    user.click("Reference sets\u{2026}");
    user.click("Copy the demo set");
    let folder = user.workshop().folder.clone();
    let mut set = user.workshop().set().clone();
    change(&mut set);
    user.click("Start");
    save_set(&folder, &set).unwrap();
    user.click("Reference sets\u{2026}");
    user.dialogs.answer(folder);
    user.click("Open a folder\u{2026}");
    user.click_containing("Checks");
    user
}

/// The place of the one finding whose sentence contains this; it is in view.
fn place_of(user: &User, part: &str) -> Place {
    let findings = user.workshop().findings.as_ref().unwrap();
    let found: Vec<_> = findings.iter().filter(|f| f.sentence.contains(part)).collect();
    assert_eq!(found.len(), 1, "{part}: {found:?}");
    assert!(user.says(part), "{part} is not in view");
    found[0].place.clone()
}

/// Goes to where the finding is mended.
fn go(user: &mut User, part: &str) {
    let place = place_of(user, part);
    // Several findings may be of one place; each has the way there.
    let name = format!("Go to {place}");
    user.harness.get_all_by_label(&name).next().unwrap().click();
    user.harness.run_ok();
}

fn back(user: &mut User) {
    user.click_containing("Checks");
}

#[test]
fn each_inconsistency_leads_to_the_place_where_it_is_mended() {
    let mut user = checking(|set| {
        let first = set.obverse.dies[0].clone();
        let twin = &mut set.obverse.dies[1];
        twin.shows.clone_from(&first.shows);
        // All reverse dies agree on the last feature.
        let feature = set.reverse.features.last().unwrap().clone();
        for die in &mut set.reverse.dies {
            die.shows.insert(feature.id.clone(), feature.states[0].id.clone());
        }
        let plate = &mut set.reverse.dies[2].plates[0];
        let name = plate.landmarks.keys().next().unwrap().clone();
        plate.landmarks.remove(&name);
        set.obverse.zones[3].telling_detail_mm = 0.01;
        let mut again = set.pairings[2].clone();
        again.catalogue = "twice".to_owned();
        set.pairings.push(again);
    });
    let set = user.workshop().set().clone();
    user.look("checks");

    go(&mut user, "No feature tells the dies O1 and O2 apart");
    assert_eq!(user.workshop().section, Section::Dies(Side::Obverse));
    assert_eq!(
        user.workshop().die[Side::Obverse].as_ref().unwrap().as_str(),
        "O2"
    );
    assert!(user.says("Name of the die"));
    back(&mut user);

    go(&mut user, "agree on");
    assert_eq!(user.workshop().section, Section::Features(Side::Reverse));
    // It is scrolled to: a control of its form is on the screen.
    let feature = set.reverse.features.last().unwrap();
    let name = format!("Question of {}", feature.id);
    let field = user.harness.get_by_label(&name).rect();
    let screen = user.harness.ctx.content_rect();
    assert!(screen.contains_rect(field), "{field:?} is not in {screen:?}");
    back(&mut user);

    go(&mut user, "The plate lacks the landmarks");
    assert_eq!(user.workshop().section, Section::Design(Side::Reverse));
    assert_eq!(
        user.workshop().design[Side::Reverse].plate.clone().unwrap().0,
        set.reverse.dies[2].id
    );
    assert!(user.says("(not on this plate)"));
    back(&mut user);

    go(&mut user, "the plate is too coarse for the zone");
    assert_eq!(user.workshop().section, Section::Design(Side::Obverse));
    back(&mut user);

    go(&mut user, "are paired twice");
    assert_eq!(user.workshop().section, Section::Pairings);
    assert_eq!(user.workshop().pairing, Some(set.pairings.len() - 1));
    assert!(user.says("Catalogue number"));
}

#[test]
fn what_is_mended_leaves_the_list_by_itself() {
    let mut user = checking(|set| {
        let mut again = set.pairings[0].clone();
        again.catalogue = "twice".to_owned();
        set.pairings.push(again);
    });
    go(&mut user, "are paired twice");
    let place = Place::Pairing(user.workshop().set().pairings.len() - 1, "twice".to_owned());
    user.click(&format!("Remove this pairing: {place}"));
    back(&mut user);
    let findings = user.workshop().findings.as_ref().unwrap();
    assert!(
        findings.iter().all(|f| !f.sentence.contains("paired twice")),
        "{findings:?}"
    );
    assert!(findings.iter().all(|f| f.severity != Severity::Error));
    user.click("Undo");
    assert!(user.says("are paired twice"));
}

#[test]
fn a_long_list_is_shown_in_parts() {
    let mut user = checking(|set| {
        for side in Side::BOTH {
            for feature in &mut set.side_mut(side).features {
                feature.question.clear();
                for _ in 0..6 {
                    let state = feature.states[0].clone();
                    feature.states.push(state);
                }
            }
        }
    });
    let all = user.workshop().findings.as_ref().unwrap().len();
    assert!(all > 80, "{all}");
    let shown = |user: &User| user.harness.query_all_by_label_contains("Go to ").count();
    let first = shown(&user);
    assert!(first < all);
    let more = user.harness.get_by_label_contains("Show more of the");
    more.scroll_to_me();
    user.harness.run_ok();
    user.click_containing("Show more of the");
    assert!(shown(&user) > first);
}
