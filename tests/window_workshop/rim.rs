//! The rim drawn on a plate: a start for the landmarks, undone like all else and kept until the set is closed.

use dietell::geometry::PictureVector;
use dietell::reference::Side;
use egui::{Key, Modifiers};

use super::driver::{User, mint_plate};

#[test]
fn a_rim_is_undone_step_by_step_and_kept_while_the_set_is_open() {
    let mut user = User::with_new_set("Rims");
    let (plate, _) = mint_plate(user.home(), "O1");
    user.dialogs.answer(plate);
    user.click("Obverse design (0)");
    user.click("Add the first die");
    user.click("Add a plate of die O1\u{2026}");
    let rim = |user: &User| {
        let drafts = &user.workshop().design[Side::Obverse].rims;
        drafts.values().next().map(|draft| draft.rim)
    };
    let saved = |user: &User| user.workshop().set().clone();
    let set = saved(&user);
    assert_eq!(rim(&user), None);
    user.click("Find the rim");
    let found = rim(&user).unwrap();
    assert!(!found.by_hand);

    // Its centre dragged by hand: one step, however many frames it took.
    let centre = user.on_plate(Side::Obverse, found.centre);
    let to = centre + egui::vec2(30.0, -20.0);
    user.drag(centre, to);
    let moved = rim(&user).unwrap();
    assert!(moved.by_hand && (moved.centre - found.centre).length() > 10.0);
    user.key(Modifiers::SHIFT, Key::ArrowRight);
    let nudged = rim(&user).unwrap();
    assert!(nudged.centre.x > moved.centre.x);
    user.click("Undo");
    assert_eq!(rim(&user), Some(moved));
    user.click("Undo");
    assert_eq!(rim(&user), Some(found));
    user.click("Undo");
    assert_eq!(rim(&user), None);
    for _ in 0..3 {
        user.click("Redo");
    }
    assert_eq!(rim(&user), Some(nudged));

    // Kept while another section is in view; the set itself was not touched by any of it.
    user.click("Pairings (0)");
    user.click("Obverse design (0)");
    assert_eq!(rim(&user), Some(nudged));
    assert_eq!(saved(&user), set);
    // The next landmark is placed by it.
    user.click("Place landmarks");
    let at = user.on_plate(Side::Obverse, nudged.centre + PictureVector::new(60.0, 0.0));
    user.tap(at);
    let landmark = user.workshop().set().obverse.landmarks[0].clone();
    assert!(
        landmark.place_mm.x > 0.5 && landmark.place_mm.y.abs() < 0.1,
        "{landmark:?}"
    );
}
