//! Verdicts by buttons and by keys, what they store, and how the cells show it.

use dietell::app::model::bench::Step;
use dietell::app::shell::window::Window;
use dietell::crop::CropFrame;
use dietell::pipeline;
use dietell::reference::Side;
use dietell::specimen::{CannotTell, Ruling, Verdict};
use egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use super::synthetic::{harness, opened, photo_view, record, set, window};

fn verdicts(harness: &Harness<'_, Window>) -> Vec<Verdict> {
    harness.state().bench.as_ref().unwrap().record().verdicts.clone()
}

fn rulings(harness: &Harness<'_, Window>) -> Vec<(String, Ruling)> {
    verdicts(harness)
        .into_iter()
        .map(|v| (v.state.0, v.ruling))
        .collect()
}

fn frame(harness: &Harness<'_, Window>) -> CropFrame {
    harness.state().pages.compare.frame.unwrap()
}

fn open_stop<'a>() -> Harness<'a, Window> {
    let mut harness = opened(Step::Compare);
    harness
        .get_by_label_contains("How far is the stop from the letter?:")
        .click();
    harness.run_ok();
    harness
}

trait Also: Sized {
    fn also(self, f: impl FnOnce(&mut Self)) -> Self;
}
impl<T> Also for T {
    fn also(mut self, f: impl FnOnce(&mut T)) -> T {
        f(&mut self);
        self
    }
}

#[test]
fn the_feature_that_tells_most_is_in_view_first() {
    let harness = opened(Step::Compare);
    // Five leaves tell the five obverse dies apart, which no other feature does.
    harness.get_by_label_contains("How many leaves are on the stem?: tells most");
    for words in ["no leaf", "one leaf", "two leaves", "three leaves", "four leaves"] {
        harness.get_by_label(&format!("Agrees: {words}"));
    }
    harness.get_by_label_contains("Your coin\u{2019}s crop");
}

#[test]
fn a_verdict_by_button_stores_the_crop_that_was_seen() {
    let mut harness = open_stop();
    harness.get_by_label("Agrees: well clear of the letter").click();
    harness.run_ok();
    let given = verdicts(&harness);
    assert_eq!(given.len(), 1);
    let verdict = &given[0];
    assert_eq!((verdict.side, verdict.ruling), (Side::Obverse, Ruling::Agrees));
    assert_eq!(
        (verdict.feature.as_str(), verdict.state.as_str()),
        ("stop", "far")
    );
    let seen = verdict.seen.clone().unwrap();
    // C is the first die that shows it.
    assert_eq!(seen.plate, Some(("C".into(), 0)));
    let shown = frame(&harness);
    assert_eq!(seen.centre_mm, shown.centre);
    assert!((seen.px_per_mm - shown.px_per_mm).abs() < 1e-12);
    assert!((seen.size_mm.0 * seen.px_per_mm - f64::from(shown.width_px)).abs() < 1e-9);
    // The alignment found the drawn transform: landmarks were marked exactly.
    let truth = photo_view(Side::Obverse);
    for (place, value) in seen.photo_from_side.iter().enumerate() {
        let true_value = truth.matrix()[(place / 3, place % 3)];
        assert!(
            (value - true_value).abs() < 1e-3 * (1.0 + true_value.abs()),
            "{place}: {value} {true_value}"
        );
    }
    let bench = harness.state_mut().bench.as_mut().unwrap();
    let alignment = bench.derived().alignments.obverse.clone().unwrap().unwrap();
    let set = set();
    let plate = &set.obverse.dies[2].plates[0];
    let of_plate = pipeline::align_plate(&set, Side::Obverse, plate).unwrap();
    let zone = set.obverse.zone(&"stop zone".into()).unwrap();
    let radius = pipeline::zone_uncertainty(&alignment, Some(&of_plate), zone).radius95_mm;
    assert!((seen.uncertainty_mm - radius).abs() < 1e-12);
    assert_eq!(seen.light_evened, 0.0);
}

#[test]
fn keys_give_change_and_take_back_verdicts() {
    let mut harness = open_stop();
    for (key, expected) in [
        (Key::A, vec![("near", Ruling::Agrees)]),
        (Key::D, vec![("near", Ruling::Differs)]),
        (Key::Num2, vec![("near", Ruling::Differs)]),
        (
            Key::C,
            vec![
                ("near", Ruling::Differs),
                ("far", Ruling::CannotTell(CannotTell::Wear)),
            ],
        ),
        (
            Key::C,
            vec![
                ("near", Ruling::Differs),
                ("far", Ruling::CannotTell(CannotTell::Damage)),
            ],
        ),
        (Key::X, vec![("near", Ruling::Differs)]),
        (Key::Num1, vec![("near", Ruling::Differs)]),
        (Key::X, vec![]),
    ] {
        harness.key_press(key);
        harness.run_ok();
        let expected: Vec<_> = expected.into_iter().map(|(s, r)| (s.to_owned(), r)).collect();
        assert_eq!(rulings(&harness), expected, "after {key:?}");
    }
}

#[test]
fn the_others_differ_in_one_step_of_undo() {
    let mut harness = opened(Step::Compare);
    harness.get_by_label("Agrees: two leaves").click();
    harness.run_ok();
    harness.get_by_label("the other 4 differ").click();
    harness.run_ok();
    assert_eq!(rulings(&harness).len(), 5);
    assert_eq!(
        rulings(&harness)
            .iter()
            .filter(|(_, r)| *r == Ruling::Differs)
            .count(),
        4
    );
    // Each 'differs' names the plate that it was given against.
    let plates: Vec<String> = verdicts(&harness)
        .iter()
        .map(|v| v.seen.clone().unwrap().plate.unwrap().0.0)
        .collect();
    assert_eq!(plates, ["C", "A", "B", "D", "E"]);
    let bench = harness.state_mut().bench.as_mut().unwrap();
    bench.history.undo();
    harness.run_ok();
    assert_eq!(rulings(&harness), [("two".to_owned(), Ruling::Agrees)]);
}

#[test]
fn a_reason_and_a_note_are_kept_with_the_verdict() {
    let mut harness = open_stop();
    harness.get_by_label("Cannot tell: close to the letter").click();
    harness.run_ok();
    harness.get_by_label("Reason: close to the letter").click();
    harness.run_ok();
    harness.get_by_label("glare").click();
    harness.run_ok();
    assert_eq!(
        rulings(&harness),
        [("near".to_owned(), Ruling::CannotTell(CannotTell::Glare))]
    );
    let note = harness.get_by_label("Note: close to the letter");
    note.focus();
    harness.run_ok();
    for letter in ["f", "a", "d"] {
        harness
            .get_by_label("Note: close to the letter")
            .type_text(letter);
        harness.run_ok();
    }
    assert_eq!(verdicts(&harness)[0].note, "fad");
    // The letters typed are not taken for keys, and the word is one step of undo.
    assert_eq!(rulings(&harness).len(), 1);
    harness.state_mut().bench.as_mut().unwrap().history.undo();
    assert_eq!(verdicts(&harness)[0].note, "");
}

#[test]
fn cannot_tell_for_all_states_at_once() {
    let mut harness = opened(Step::Compare);
    harness.key_press_modifiers(egui::Modifiers::SHIFT, Key::C);
    harness.run_ok();
    assert_eq!(rulings(&harness).len(), 5);
    assert!(
        rulings(&harness)
            .iter()
            .all(|(_, r)| *r == Ruling::CannotTell(CannotTell::Wear))
    );
}

#[test]
fn all_cells_are_of_one_size_and_zoom_together() {
    for size in [(1024.0, 700.0), (1280.0, 800.0), (1920.0, 1080.0)] {
        let mut harness = harness(window(Step::Compare, record(), Default::default()), size);
        let names: Vec<String> = ["no leaf", "one leaf", "two leaves", "three leaves", "four leaves"]
            .iter()
            .enumerate()
            .map(|(i, words)| format!("Plate of state {}: {words}", i + 1))
            .chain(["Your coin\u{2019}s crop".to_owned()])
            .collect();
        let rects: Vec<egui::Rect> = names.iter().map(|n| harness.get_by_label(n).rect()).collect();
        for rect in &rects {
            assert_eq!(rect.size(), rects[0].size());
            assert!(
                rect.min.x >= 0.0 && rect.max.x <= size.0 && rect.max.y <= size.1,
                "{rect:?} in {size:?}"
            );
        }
        for (i, a) in rects.iter().enumerate() {
            for b in &rects[i + 1..] {
                assert!(!a.intersects(*b), "{a:?} over {b:?}");
            }
        }
        let before = frame(&harness);
        let pointer = rects[1].center() + egui::vec2(30.0, -20.0);
        harness.hover_at(pointer);
        harness.run_ok();
        harness.event(egui::Event::MouseWheel {
            unit: egui::MouseWheelUnit::Point,
            delta: egui::vec2(0.0, 120.0),
            phase: egui::TouchPhase::Move,
            source: egui::MouseWheelSource::Wheel,
            modifiers: egui::Modifiers::NONE,
        });
        for _ in 0..30 {
            harness.step();
        }
        let after = frame(&harness);
        assert!(after.px_per_mm > before.px_per_mm * 1.2, "{before:?} {after:?}");
        harness.key_press(Key::Z);
        harness.run_ok();
        assert_eq!(frame(&harness), before);
    }
}

#[test]
fn next_and_previous_go_round_both_sides() {
    let mut harness = open_stop();
    let mut seen = Vec::new();
    for _ in 0..4 {
        let bench = harness.state().bench.as_ref().unwrap();
        seen.push((bench.side, bench.feature[bench.side].clone().unwrap().0));
        harness.key_press(Key::N);
        harness.run_ok();
    }
    let expected = [
        (Side::Obverse, "stop"),
        (Side::Obverse, "leaves"),
        (Side::Reverse, "stop"),
        (Side::Reverse, "leaves"),
    ]
    .map(|(s, f)| (s, f.to_owned()));
    assert_eq!(seen, expected);
    harness.key_press(Key::P);
    harness.run_ok();
    assert_eq!(harness.state().bench.as_ref().unwrap().side, Side::Reverse);
}

#[test]
fn a_state_in_words_only_says_so_and_can_be_judged() {
    let mut harness = opened(Step::Compare).also(|h| {
        h.state_mut().bench.as_mut().unwrap().side = Side::Reverse;
        h.run_ok();
    });
    harness
        .get_by_label_contains("How many leaves are on the branch?:")
        .click();
    harness.run_ok();
    harness.get_by_label_contains("Known in words only");
    harness.get_by_label("Differs: a leaf too many").click();
    harness.run_ok();
    let given = verdicts(&harness);
    assert_eq!(given[0].seen.as_ref().unwrap().plate, None);
}

#[test]
fn without_an_alignment_the_page_leads_to_it() {
    let mut record = record();
    record.obverse.as_mut().unwrap().landmarks.clear();
    let mut harness = harness(window(Step::Compare, record, Default::default()), (1280.0, 800.0));
    harness.get_by_label("The obverse is not aligned yet");
    // With the coin in hand it can still be judged; no crop was seen.
    harness.key_press(Key::D);
    harness.run_ok();
    assert_eq!(verdicts(&harness)[0].seen, None);
    harness.get_by_label("Go to Align").click();
    harness.run_ok();
    assert_eq!(harness.state().bench.as_ref().unwrap().step, Step::Align);
}

#[test]
fn the_instruments_lay_coin_and_plate_over_each_other() {
    let mut harness = open_stop();
    for (look, control) in [
        ("Curtain", "Curtain"),
        ("Alternate", "Rate of alternation"),
        ("Blend", "Blend"),
        ("Edges", "Edges of your coin and state 1"),
        ("Difference", "Difference of your coin and state 1"),
    ] {
        harness.get_all_by_label(look).next().unwrap().click();
        harness.run_ok();
        assert!(harness.query_all_by_label(control).next().is_some(), "{look}");
        // A verdict is given as before, and keeps the frame that was seen.
        harness
            .get_by_label("Compare with state 2: well clear of the letter")
            .click();
        harness.run_ok();
        harness.key_press(Key::A);
        harness.run_ok();
        let shown = frame(&harness);
        let given = verdicts(&harness);
        let seen = given.last().unwrap().seen.clone().unwrap();
        assert_eq!(given.last().unwrap().state.as_str(), "far");
        assert!((seen.size_mm.0 * seen.px_per_mm - f64::from(shown.width_px)).abs() < 1e-9);
        harness.key_press(Key::X);
        harness.key_press(Key::Num1);
        harness.run_ok();
    }
    harness.key_press(Key::S);
    harness.run_ok();
    harness.get_by_label("Your coin\u{2019}s crop");
}

#[test]
fn the_light_is_evened_by_a_slider_and_marked() {
    let mut harness = open_stop();
    // The label, the slider's number field, the slider.
    let number = harness
        .get_all_by_label("Even light")
        .find(|node| node.accesskit_node().role() == egui::Role::SpinButton);
    number.unwrap().set_value_accesskit(60.0);
    harness.run_ok();
    harness.get_by_label("Light evened");
    harness.key_press(Key::A);
    harness.run_ok();
    let seen = verdicts(&harness)[0].seen.clone().unwrap();
    assert!((seen.light_evened - 0.6).abs() < 1e-6);
    harness.key_press(Key::L);
    harness.run_ok();
    assert_eq!(harness.state().pages.compare.light_evened, 0.0);
}

#[test]
fn a_distance_is_measured_in_mm_and_compared_with_the_stated_one() {
    let mut harness = open_stop();
    harness.key_press(Key::M);
    harness.run_ok();
    harness.get_by_label_contains("click the first point");
    let rect = harness.get_by_label("Your coin\u{2019}s crop").rect();
    let px_per_mm = frame(&harness).px_per_mm;
    #[expect(clippy::cast_possible_truncation, reason = "screen coordinates are f32")]
    let apart = (1.1 * px_per_mm) as f32;
    let first = rect.center() - egui::vec2(40.0, 0.0);
    for at in [first, first + egui::vec2(apart, 0.0)] {
        harness.hover_at(at);
        harness.run_ok();
        harness.drag_at(at);
        harness.run_ok();
        harness.drop_at(at);
        harness.run_ok();
    }
    let record = harness.state().bench.as_ref().unwrap().record().clone();
    assert_eq!(record.measurements.len(), 1);
    let points = &record.measurements[0].points_mm;
    assert!(
        ((points[1] - points[0]).length() - 1.1).abs() < 0.02,
        "{points:?}"
    );
    assert!(
        harness
            .query_all_by_label_contains("a distance: 1.1")
            .next()
            .is_some()
    );
    harness.get_by_label("fits state 1");
    let remove = harness.get_all_by_label_contains("Remove a distance").last();
    remove.unwrap().click();
    harness.run_ok();
    assert!(
        harness
            .state()
            .bench
            .as_ref()
            .unwrap()
            .record()
            .measurements
            .is_empty()
    );
}

#[test]
fn a_fine_shift_is_offered_used_shown_and_undone() {
    let mut record = record();
    // Every landmark a pixel off to the right and down: 1.41 px at 31 px/mm is 0.046 mm, within the uncertainty.
    for point in record.obverse.as_mut().unwrap().landmarks.values_mut() {
        *point += dietell::geometry::PictureVector::new(1.0, 1.0);
    }
    let mut window = window(Step::Compare, record, Default::default());
    window.bench.as_mut().unwrap().feature.obverse = Some("stop".into());
    let mut harness = harness(window, (1280.0, 800.0));
    // The plate that the coin agrees with.
    harness.key_press(Key::Num2);
    harness.run_ok();
    harness.get_by_label("Fine shift").click();
    harness.run_ok();
    let shifts = |harness: &Harness<'_, Window>| {
        let record = harness.state().bench.as_ref().unwrap().record();
        record.obverse.as_ref().unwrap().fine_shifts.clone()
    };
    assert!(shifts(&harness).is_empty(), "nothing moves until it is used");
    assert!(
        harness
            .query_all_by_label_contains("Fine shift found")
            .next()
            .is_some()
    );
    harness.get_by_label("Use it").click();
    harness.run_ok();
    let used = shifts(&harness)[&"stop zone".into()].shift_mm.length();
    assert!((used - 0.0456).abs() < 0.015, "{used} mm");
    assert!(
        harness
            .query_all_by_label_contains("Fine shift in use here")
            .next()
            .is_some()
    );
    harness.state_mut().bench.as_mut().unwrap().history.undo();
    harness.run_ok();
    assert!(shifts(&harness).is_empty());
}
