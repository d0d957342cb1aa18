//! A set that grows while it is in use: what changed since a coin was attributed is said, whichever way it is opened.

use dietell::app::model::action::Action;
use dietell::app::model::bench::Step;
use dietell::reference::{Place, Side};
use mint::{self, CameraOptions, JpegOptions, StrikeOptions};

use egui_kittest::kittest::Queryable as _;

use super::driver::User;

/// A copy of the demo set with a coin that has one verdict, on the bench; the question judged.
fn with_a_coin() -> (User, String) {
    let mut user = User::new();
    user.click("Reference sets\u{2026}");
    user.click("Copy the demo set");
    let title = user
        .workshop()
        .folder
        .file_name()
        .unwrap()
        .to_string_lossy()
        .into_owned();
    user.click("Start");
    let coin = mint::strike(Side::Obverse, &"O2".into(), &StrikeOptions::as_struck(3)).unwrap();
    let camera = CameraOptions {
        size_px: (500, 500),
        ..CameraOptions::default()
    };
    let shot = mint::photograph(&coin, &camera).unwrap();
    let photo = user.home().join("coin.jpg");
    mint::write_jpeg(&shot.pixels, &photo, &JpegOptions::default()).unwrap();
    user.click("New specimen");
    user.choose("Choose the reference set", &title);
    user.dialogs.answer(photo);
    user.click("Choose the obverse photo\u{2026}");
    user.click("Begin");
    let set = user.harness.state().bench.as_ref().unwrap().set.clone();
    let feature = &set.obverse.features[0];
    user.click("Compare");
    user.click_containing(&format!("{}:", feature.question));
    user.click(&format!("Agrees: {}", feature.states[0].words));
    user.harness.state_mut().push(Action::Save);
    user.harness.run_ok();
    (user, feature.question.clone())
}

/// Takes the first obverse feature's first state out of the set in the workshop.
fn remove_the_state(user: &mut User) {
    user.click_containing("Obverse features");
    let feature = &user.workshop().set().obverse.features[0];
    let place = Place::State(Side::Obverse, feature.id.clone(), feature.states[0].id.clone());
    user.click(&format!("Remove: {place}"));
}

fn open_the_set(user: &mut User) {
    user.click("Menu");
    user.click_containing("Reference sets");
    let folder = user
        .harness
        .state()
        .bench
        .as_ref()
        .unwrap()
        .plate_source
        .clone()
        .unwrap();
    user.dialogs.answer(folder.place());
    user.click("Open a folder\u{2026}");
}

#[test]
fn a_coin_attributed_with_an_older_version_opens_and_says_what_changed() {
    let (mut user, _) = with_a_coin();
    let coin = user
        .harness
        .state()
        .bench
        .as_ref()
        .unwrap()
        .folder
        .clone()
        .unwrap();
    let coin = coin.lock().unwrap().path().to_owned();
    user.click("\u{2190} Cabinet");
    user.harness.state_mut().bench = None;
    user.click("Reference sets\u{2026}");
    let title = user.harness.state().settings.recent_sets[0].clone();
    user.dialogs.answer(title);
    user.click("Open a folder\u{2026}");
    remove_the_state(&mut user);
    user.click("Save");
    user.click("Start");
    user.dialogs.answer(coin);
    user.click("Open specimen\u{2026}");
    let bench = user.harness.state().bench.as_ref().unwrap();
    assert_eq!(bench.record().verdicts.len(), 1, "the verdict is kept");
    assert!(user.says("no longer counts: the state is gone"));
    user.look("changed");
}

#[test]
fn a_set_changed_beside_the_bench_is_taken_up_there() {
    let (mut user, question) = with_a_coin();
    open_the_set(&mut user);
    remove_the_state(&mut user);
    let title = user
        .harness
        .state()
        .bench
        .as_ref()
        .unwrap()
        .record()
        .title
        .clone();
    user.click(&format!("Back to {title}"));
    assert!(user.says("no longer counts: the state is gone"));
    let bench = user.harness.state().bench.as_ref().unwrap();
    assert_eq!(bench.step, Step::Compare);
    assert_eq!(*bench.set, *user.workshop().set());
    assert!(user.says(&question));
}

#[test]
fn a_new_die_from_a_coin_of_the_built_in_set_begins_in_a_copy_that_the_coin_then_uses() {
    let mut user = User::new();
    user.click("Open the demo coin");
    user.click("Standing");
    let label = "New obverse die from this coin\u{2026}";
    user.harness.get_by_label(label).scroll_to_me();
    user.harness.run_ok();
    user.click(label);
    assert_eq!(
        user.workshop().set().obverse.dies.last().unwrap().id.as_str(),
        "O6"
    );
    assert!(user.says("the coin now uses the copy"));
    let copy = user.workshop().folder.clone();
    user.click("Back to Demo coin");
    let bench = user.harness.state().bench.as_ref().unwrap();
    assert_eq!(bench.set.obverse.dies.len(), 6);
    let coin = bench.folder.clone().unwrap();
    let coin = coin.lock().unwrap().path().to_owned();
    let opened = dietell::pipeline::open_specimen(&coin).unwrap();
    assert_eq!(
        opened.source.unwrap().place().canonicalize().unwrap(),
        copy.canonicalize().unwrap()
    );
    assert_eq!(opened.set.obverse.dies.len(), 6);
}

#[test]
fn the_log_is_shown_from_the_menu_and_can_be_copied() {
    let mut user = User::new();
    user.click("Menu");
    user.click("Show the log");
    user.harness.get_by_label("No log is kept in this session.");
    user.click("Copy for a report");
    user.click("Close");
    assert!(user.harness.query_by_label("Copy for a report").is_none());
}
