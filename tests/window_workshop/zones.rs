//! Zones moved and resized by hand on the plate, and landmarks corrected there.

use dietell::geometry::{PictureVector, SidePoint, SideVector};
use dietell::reference::{Side, Zone};
use egui::accesskit::Role;
use egui::{Key, Modifiers, Pos2};
use egui_kittest::kittest::Queryable as _;
use mint::Shot;

use super::driver::{User, mint_plate, some_landmarks};
use super::numbers::greatest;

/// A set with one plate, its rim found and four landmarks placed.
fn with_a_plate() -> (User, Shot) {
    let mut user = User::with_new_set("Zones");
    let diameter = user.harness.get_by_role_and_label(Role::SpinButton, "Diameter");
    diameter.set_value_accesskit(28.0);
    user.harness.run_ok();
    let (file, shot) = mint_plate(user.home(), "O1");
    user.dialogs.answer(file);
    user.click("Obverse design (0)");
    user.click("Add the first die");
    user.click("Add a plate of die O1\u{2026}");
    user.click("Find the rim");
    user.click("Place landmarks");
    for (_, point) in some_landmarks(&shot, 4) {
        let at = user.on_plate(Side::Obverse, point);
        user.tap(at);
    }
    (user, shot)
}

fn zone(user: &User, i: usize) -> Zone {
    user.workshop().set().obverse.zones[i].clone()
}

/// Where a place of the side is on the screen, by the plate's own landmarks.
fn at(user: &User, x: f64, y: f64) -> Pos2 {
    let set = user.workshop().set();
    let plate = &set.obverse.dies[0].plates[0];
    let frame = dietell::pipeline::align_plate(set, Side::Obverse, plate).unwrap();
    let point = frame.picture_from_side.point_in_picture(SidePoint::new(x, y));
    user.on_plate(Side::Obverse, point)
}

fn assert_near(zone: &Zone, centre: (f64, f64), size: (f64, f64)) {
    // A screen point is some twentieth of a millimetre here, and the pointer's place is rounded to a fraction of it.
    let off = [
        zone.centre_mm.x - centre.0,
        zone.centre_mm.y - centre.1,
        zone.size_mm.0 - size.0,
        zone.size_mm.1 - size.1,
    ];
    assert!(
        off.iter().all(|o| o.abs() < 0.03),
        "{zone:?} is not {centre:?} {size:?}"
    );
}

#[test]
fn a_zone_is_drawn_moved_and_resized_by_its_handles() {
    let (mut user, _) = with_a_plate();
    user.click("Draw zones");
    let (from, to) = (at(&user, -6.0, -3.0), at(&user, -2.0, 0.0));
    user.drag(from, to);
    assert_near(&zone(&user, 0), (-4.0, -1.5), (4.0, 3.0));
    // What is drawn is selected: its handles answer, and its numbers stand beside the plate.
    let (from, to) = (at(&user, -2.0, 0.0), at(&user, -1.0, 1.0));
    user.drag(from, to);
    assert_near(&zone(&user, 0), (-3.5, -1.0), (5.0, 4.0));
    let (from, to) = (at(&user, -3.5, -3.0), at(&user, -3.0, -2.0));
    user.drag(from, to);
    assert_near(&zone(&user, 0), (-3.5, -0.5), (5.0, 3.0));
    let (from, to) = (at(&user, -3.0, -0.5), at(&user, 1.0, 2.5));
    user.drag(from, to);
    let moved = zone(&user, 0);
    assert_near(&moved, (0.5, 2.5), (5.0, 3.0));
    let width = user
        .harness
        .get_by_role_and_label(Role::SpinButton, "width of zone 1");
    assert_eq!(width.value().as_deref(), Some("5.00 mm"));
    user.look("zone-selected");
    // Each drag is one step of undo, however many frames it took.
    user.click("Undo");
    assert_near(&zone(&user, 0), (-3.5, -0.5), (5.0, 3.0));
    user.click("Undo");
    user.click("Undo");
    assert_near(&zone(&user, 0), (-4.0, -1.5), (4.0, 3.0));
    for _ in 0..3 {
        user.click("Redo");
    }
    assert_eq!(zone(&user, 0), moved);
}

#[test]
fn a_zone_keeps_its_smallest_size_and_an_empty_click_selects_nothing() {
    let (mut user, _) = with_a_plate();
    user.click("Draw zones");
    let (from, to) = (at(&user, 2.0, 2.0), at(&user, 5.0, 5.0));
    user.drag(from, to);
    // The right edge is pulled far past the left one.
    let (from, to) = (at(&user, 5.0, 3.5), at(&user, -5.0, 3.5));
    user.drag(from, to);
    let thin = zone(&user, 0);
    assert!(
        (thin.size_mm.0 - dietell::pipeline::SMALLEST_ZONE_MM).abs() < 1e-9,
        "{thin:?}"
    );
    assert!(
        (thin.centre_mm.x - 2.1).abs() < 0.03,
        "the left edge stays: {thin:?}"
    );
    user.click("Undo");
    // Beside the zone a drag makes another; a click there selects none, so that its handles are gone.
    let empty = at(&user, -6.0, -6.0);
    user.tap(empty);
    assert_eq!(user.workshop().design[Side::Obverse].zone, None);
    let (from, to) = (at(&user, 5.0, 5.0), at(&user, 7.0, 7.0));
    user.drag(from, to);
    assert_eq!(user.workshop().set().obverse.zones.len(), 2);
    assert_near(&zone(&user, 0), (3.5, 3.5), (3.0, 3.0));
    // A click in the first selects it again.
    let inside = at(&user, 3.0, 3.0);
    user.tap(inside);
    assert_eq!(
        user.workshop().design[Side::Obverse].zone,
        Some(zone(&user, 0).id)
    );
}

#[test]
fn keys_move_and_resize_the_selected_zone() {
    let (mut user, _) = with_a_plate();
    user.click("Draw zones");
    let middle = user.workshop().design[Side::Obverse].sight.unwrap().rect.center();
    user.tap(middle);
    user.key(Modifiers::NONE, Key::Enter);
    let first = zone(&user, 0);
    assert_eq!(user.workshop().design[Side::Obverse].zone, Some(first.id.clone()));
    assert!((first.size_mm.0 - 3.0).abs() < 2e-3, "{first:?}");
    user.key(Modifiers::NONE, Key::ArrowRight);
    user.key(Modifiers::SHIFT, Key::ArrowUp);
    let moved = zone(&user, 0);
    let by = moved.centre_mm - first.centre_mm;
    assert!((by - SideVector::new(0.05, -0.5)).length() < 2e-3, "{by:?}");
    assert_eq!(moved.size_mm, first.size_mm);
    user.key(Modifiers::ALT, Key::ArrowLeft);
    user.key(Modifiers::ALT | Modifiers::SHIFT, Key::ArrowDown);
    let resized = zone(&user, 0);
    assert!(
        (resized.size_mm.0 - moved.size_mm.0 + 0.05).abs() < 2e-3,
        "{resized:?}"
    );
    assert!(
        (resized.size_mm.1 - moved.size_mm.1 - 0.5).abs() < 2e-3,
        "{resized:?}"
    );
    // Nudges in quick succession are one step of undo, by key as by button.
    user.harness.run_steps(8);
    for _ in 0..3 {
        user.harness.key_press(Key::ArrowDown);
    }
    user.harness.run_ok();
    let lower = zone(&user, 0).centre_mm.y - resized.centre_mm.y;
    assert!((lower - 0.15).abs() < 2e-3, "{lower}");
    user.key(Modifiers::COMMAND, Key::Z);
    assert_eq!(zone(&user, 0), resized);
    user.key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert!((zone(&user, 0).centre_mm.y - resized.centre_mm.y - lower).abs() < 1e-9);
    user.key(Modifiers::NONE, Key::Delete);
    assert!(user.workshop().set().obverse.zones.is_empty());
}

#[test]
fn a_landmark_that_stands_on_one_plate_alone_takes_its_place_on_the_side_along() {
    let (mut user, shot) = with_a_plate();
    user.click("Place landmarks");
    // Four stand right; a fifth is clicked some way off and then dragged to where it belongs.
    let (_, truth) = some_landmarks(&shot, 5).pop().unwrap();
    let wrong = truth + PictureVector::new(40.0, -30.0);
    let from = user.on_plate(Side::Obverse, wrong);
    user.tap(from);
    let place = |user: &User| user.workshop().set().obverse.landmarks[4].place_mm;
    let before = place(&user);
    let to = user.on_plate(Side::Obverse, truth);
    user.drag(from, to);
    let plate = user.workshop().set().obverse.dies[0].plates[0].clone();
    let there = plate.landmarks[&user.workshop().set().obverse.landmarks[4].name];
    assert!((there - truth).length() < 1.0, "{there:?} is not {truth:?}");
    let px_per_mm = shot.truth.px_per_mm(SidePoint::origin());
    let moved = (place(&user) - before).length();
    assert!((moved - 50.0 / px_per_mm).abs() < 0.1, "{moved} mm for 50 px");
    // So the plate agrees with itself: nothing is left of the slip.
    let set = user.workshop().set();
    let alignment = dietell::pipeline::align_plate(set, Side::Obverse, &plate).unwrap();
    let worst = greatest(alignment.landmarks.iter().map(|l| l.residual_px.length()));
    assert!(worst < 0.5, "{worst} px");
    // Arrow keys go on from there.
    user.key(Modifiers::SHIFT, Key::ArrowRight);
    let after = user.workshop().set().obverse.dies[0].plates[0].landmarks
        [&user.workshop().set().obverse.landmarks[4].name];
    let by = after - there;
    assert!((by - PictureVector::new(1.0, 0.0)).length() < 1e-9, "{by:?}");
}
