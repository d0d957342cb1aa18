//! A set goes from hand to hand: packed, opened by dropping it, changed by both, and merged.

use std::path::PathBuf;

use dietell::reference::{Side, open_set};
use egui::accesskit::Role;
use egui_kittest::kittest::Queryable as _;

use super::driver::{User, mint_plate};

/// A collector with a set of one obverse die, its plate and its note, packed; and the pack.
fn first_collector() -> (User, PathBuf) {
    let mut user = User::with_new_set("Five varn");
    let (plate, _) = mint_plate(user.home(), "O1");
    user.dialogs.answer(plate);
    user.click("Obverse dies (0)");
    user.click("Add a die");
    user.click("Add a plate from a file\u{2026}");
    user.fill("What is known of it", "From the old tray.");
    let pack = pack(&mut user, "first.dieset");
    (user, pack)
}

fn pack(user: &mut User, name: &str) -> PathBuf {
    let file = user.home().join(name);
    user.dialogs.answer(file.clone());
    user.click("Pack to one file\u{2026}");
    assert!(file.is_file());
    file
}

fn note(user: &User) -> String {
    user.workshop().set().obverse.dies[0].note.clone()
}

/// Another collector who dropped the pack on the window, changed a note and added a die, and packed the set again.
fn second_collector(pack_of_first: &std::path::Path) -> (User, PathBuf) {
    let mut user = User::new();
    user.click("Reference sets\u{2026}");
    user.drop(&[pack_of_first]);
    assert_eq!(user.workshop().set().title, "Five varn");
    let plate = user.workshop().set().obverse.dies[0].plates[0].file.clone();
    assert!(user.workshop().folder.join(plate).is_file());
    user.click("Obverse dies (1)");
    user.click("O1");
    user.fill("What is known of it", "Seen in two sales as well.");
    user.click("Add a die");
    let (plate, _) = mint_plate(user.home(), "O4");
    user.dialogs.answer(plate);
    user.click("Add a plate from a file\u{2026}");
    let file = pack(&mut user, "second.dieset");
    (user, file)
}

#[test]
fn what_both_changed_is_shown_in_both_versions_and_the_user_decides() {
    let (mut first, pack_of_first) = first_collector();
    let original = std::fs::read(&pack_of_first).unwrap();
    let (_second, pack_of_second) = second_collector(&pack_of_first);
    assert_eq!(
        std::fs::read(&pack_of_first).unwrap(),
        original,
        "the pack is untouched"
    );
    first.fill("What is known of it", "From the old tray, bought in autumn.");

    // Dropped on the open set, the copy that came back is offered for merging.
    first.drop(&[&pack_of_second]);
    assert!(first.says("Changes in the other copy"));
    first.look("merge");
    for words in [
        "was: From the old tray.",
        "this copy: From the old tray, bought in autumn.",
        "the other: Seen in two sales as well.",
    ] {
        assert!(first.says(words), "{words} is not shown");
    }
    let before = first.workshop().set().clone();
    first.click("Leave the set as it is");
    assert_eq!(first.workshop().set(), &before);

    // Once more through the dialog. Nothing is overwritten unless the user says so.
    first.dialogs.answer(pack_of_second.clone());
    first.click("Merge\u{2026}");
    first.click("Take in");
    assert_eq!(note(&first), "From the old tray, bought in autumn.");
    assert_eq!(first.workshop().set().obverse.dies.len(), 2);
    let brought = first.workshop().set().obverse.dies[1].plates[0].file.clone();
    assert!(
        first.workshop().folder.join(brought).is_file(),
        "its picture came along"
    );
    first.click("Undo");
    assert_eq!(first.workshop().set(), &before);

    first.dialogs.answer(pack_of_second);
    first.click("Merge\u{2026}");
    let theirs = first
        .harness
        .get_by_role_and_label(Role::RadioButton, "the other: Seen in two sales as well.");
    theirs.click();
    first.harness.run_ok();
    first.click("Take in");
    assert_eq!(note(&first), "Seen in two sales as well.");
    assert_eq!(first.workshop().set().obverse.dies.len(), 2);
    first.click("Save");
    assert_eq!(
        &open_set(&first.workshop().folder).unwrap().set,
        first.workshop().set()
    );
}

#[test]
fn what_only_the_other_changed_is_listed_and_taken() {
    let (mut first, pack_of_first) = first_collector();
    let (second, pack_of_second) = second_collector(&pack_of_first);
    first.drop(&[&pack_of_second]);
    assert!(first.says("Changed only in the other copy: taken in"));
    assert!(!first.says("Changed in both: choose"));
    first.click("Take in");
    assert_eq!(note(&first), "Seen in two sales as well.");
    assert_eq!(first.workshop().set().obverse, second.workshop().set().obverse);
    // The same copy once more has nothing new.
    first.click("Save");
    first.drop(&[&pack_of_second]);
    assert!(first.says("The other copy has nothing that this one lacks."));
}

#[test]
fn a_file_that_is_no_pack_is_refused_with_a_sentence() {
    let (mut user, _) = first_collector();
    let before = user.workshop().set().clone();
    let broken = user.home().join("broken.dieset");
    std::fs::write(&broken, b"PK\x03\x04 and then nothing of use").unwrap();
    user.drop(&[&broken]);
    assert!(user.says("was refused"));
    assert_eq!(user.workshop().set(), &before);
    assert!(user.workshop().merge.is_none());
}

#[test]
fn pictures_dropped_with_no_die_chosen_begin_a_die_each() {
    let mut user = User::with_new_set("Many at once");
    let home = user.home().to_owned();
    let files: Vec<_> = ["O1", "O2", "O4"].map(|die| mint_plate(&home, die).0).into();
    let text = home.join("no picture.jpg");
    std::fs::write(&text, "just words").unwrap();
    user.click("Obverse dies (0)");
    user.drop(&[&files[0], &files[1], &text, &files[2]]);
    let dies = &user.workshop().set().obverse.dies;
    let sources: Vec<_> = dies
        .iter()
        .map(|die| (die.id.as_str(), die.plates[0].source.as_str()))
        .collect();
    assert_eq!(sources, [("O1", "O1.jpg"), ("O2", "O2.jpg"), ("O3", "O4.jpg")]);
    assert!(user.says("no picture.jpg"), "what was refused is said");
    // The first is chosen now, so that a further picture is a plate of it.
    user.drop(&[&files[1]]);
    assert_eq!(user.workshop().set().obverse.dies[0].plates.len(), 2);
    user.click("Undo");
    user.click("Undo");
    assert!(
        user.workshop().set().side(Side::Obverse).dies.is_empty(),
        "one step for all"
    );
}

#[test]
fn packing_is_cancelled_and_leaves_no_file_and_no_raised_edition() {
    let (mut user, _) = first_collector();
    let before = user.workshop().set().clone();
    let file = user.home().join("second try.dieset");
    user.dialogs.answer(file.clone());
    user.click_and_hold("Pack to one file\u{2026}");
    let edition = user.workshop().set().edition;
    assert_eq!(edition, before.edition + 1, "the packing has begun");
    user.click_held("Cancel: Packing second try.dieset");
    assert!(user.says("Stopping: Packing second try.dieset"));
    user.let_go();
    assert!(!file.exists());
    assert_eq!(user.workshop().set(), &before);
    assert!(!user.says("Packing second try"), "its progress is gone");
    assert!(user.says("cancelled") || user.says("stopped"));
    // It can be packed after all.
    user.dialogs.answer(file.clone());
    user.click("Pack to one file\u{2026}");
    assert_eq!(open_set(&file).unwrap().set.edition, before.edition + 1);
}
