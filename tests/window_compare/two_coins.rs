//! Specimen against specimen, with minted coins of one die and of two in a cabinet on disk.

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use dietell::app::model::action::Action;
use dietell::app::model::bench::Step;
use dietell::app::pages::compare::Beside;
use dietell::app::shell::dialogs::ScriptedDialogs;
use dietell::app::shell::window::{Setup, Window};
use dietell::geometry::PictureFromSide;
use dietell::pipeline;
use dietell::reference::{Side, open_set};
use dietell::specimen::{
    CannotTell, Comparison, Conclusion, Difference, Found, SetReference, SpecimenFolder, SpecimenRecord,
    Spot, WhichCoin,
};
use egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use mint::{CameraOptions, Framing, Light, Shot, StrikeOptions, photograph, strike};

use super::absent::poppler;
use super::synthetic::harness;

/// The coins of the tests: title, die, scale and turn of the photo, and from where the design is lit.
const COINS: [(&str, &str, f64, f64, f64); 4] = [
    ("Mine", "O4", 20.0, 8.0, -40.0),
    ("Of the same die", "O4", 15.0, -21.0, -40.0),
    ("Of another die", "O3", 17.0, 3.0, -40.0),
    ("Lit otherwise", "O4", 15.0, -21.0, 110.0),
];

/// Their photos, minted once: PNG bytes and the truth.
fn shots() -> &'static [(Vec<u8>, Shot); 4] {
    static MINTED: OnceLock<[(Vec<u8>, Shot); 4]> = OnceLock::new();
    MINTED.get_or_init(|| {
        COINS.map(|(title, die, px_per_mm, turn_deg, lit_from)| {
            let coin = strike(
                Side::Obverse,
                &die.into(),
                &StrikeOptions::circulated(title.len() as u64),
            )
            .unwrap();
            let camera = CameraOptions {
                size_px: (640, 640),
                framing: Framing::PxPerMm(px_per_mm),
                turn_deg,
                light: Light {
                    direction_deg: lit_from + turn_deg,
                    ..Light::default()
                },
                ..CameraOptions::default()
            };
            let shot = photograph(&coin, &camera).unwrap();
            let mut png = std::io::Cursor::new(Vec::new());
            shot.pixels.write_to(&mut png, image::ImageFormat::Png).unwrap();
            (png.into_inner(), shot)
        })
    })
}

/// Puts a coin into the cabinet, its obverse aligned by all landmarks.
fn lay_in(cabinet: &Path, coin: usize) -> PathBuf {
    let (png, shot) = &shots()[coin];
    let open = open_set("demo").unwrap();
    let path = cabinet.join(format!("coin-{coin}"));
    let mut record = SpecimenRecord::new(COINS[coin].0, SetReference::to(&open, &path).unwrap());
    let mut folder = SpecimenFolder::create(&path, &record).unwrap();
    let mut photo = folder
        .take_in_bytes(
            Side::Obverse,
            &format!("{coin}.png"),
            png,
            shot.pixels.dimensions(),
        )
        .unwrap();
    photo.landmarks = shot.landmarks();
    record.obverse = Some(photo);
    folder.save(&record).unwrap();
    folder.keep_set(&open.set).unwrap();
    path
}

struct Table {
    _folder: tempfile::TempDir,
    cabinet: PathBuf,
    dialogs: ScriptedDialogs,
}

/// A cabinet with some of the coins.
fn table(coins: &[usize]) -> Table {
    let folder = tempfile::tempdir().unwrap();
    let cabinet = folder.path().join("cabinet");
    for coin in coins {
        lay_in(&cabinet, *coin);
    }
    Table {
        _folder: folder,
        cabinet,
        dialogs: ScriptedDialogs::default(),
    }
}

impl Table {
    fn place(&self, coin: usize) -> PathBuf {
        self.cabinet.join(format!("coin-{coin}"))
    }

    /// The first coin on the Compare page, with another coin asked for.
    fn open<'a>(&self) -> Harness<'a, Window> {
        let setup = Setup::for_test(self.dialogs.clone(), self.cabinet.clone());
        let mut window = Window::new(setup);
        window.push(Action::OpenSpecimen(Some(self.place(0))));
        let mut harness = harness(window, (1280.0, 800.0));
        harness.state_mut().push(Action::GoToStep(Step::Compare));
        harness.run_ok();
        click(&mut harness, "Another coin");
        harness
    }
}

fn click(harness: &mut Harness<'_, Window>, label: &str) {
    harness.get_by_label(label).click();
    harness.run_ok();
}

fn click_like(harness: &mut Harness<'_, Window>, label: &str) {
    harness.get_by_label_contains(label).click();
    harness.run_ok();
}

fn press(harness: &mut Harness<'_, Window>, key: Key) {
    harness.key_press(key);
    harness.run_ok();
}

fn says(harness: &Harness<'_, Window>, words: &str) -> bool {
    harness.query_all_by_label_contains(words).next().is_some()
}

fn record<'a>(harness: &'a Harness<'_, Window>) -> &'a SpecimenRecord {
    harness.state().bench.as_ref().unwrap().record()
}

fn comparison<'a>(harness: &'a Harness<'_, Window>) -> &'a Comparison {
    &record(harness).comparisons[0]
}

#[test]
fn a_cabinet_without_another_coin_says_what_to_do() {
    let table = table(&[0]);
    let harness = table.open();
    assert!(says(&harness, "No other coin of this set in the cabinet yet"));
    assert!(says(&harness, "Make a specimen of the other coin first"));
    harness.get_by_label("New specimen");
    // The coin itself is never offered.
    assert!(!says(&harness, "Compare with Mine"));
}

#[test]
fn a_newcomer_can_try_it_with_the_second_demo_coin() {
    let table = table(&[0]);
    let mut harness = table.open();
    click(&mut harness, "Compare with the worn demo coin");
    let bench = harness.state().bench.as_ref().unwrap();
    let other = bench.other.coin().expect("the second demo coin stands beside");
    assert_eq!(other.record.title, "Worn demo coin");
    assert!(other.alignments.iter().all(|(_, a)| matches!(a, Some(Ok(_)))));
    assert!(says(&harness, "Other coin: Worn demo coin"));
}

#[test]
fn one_die_is_compared_recorded_undone_saved_and_opened_again() {
    let table = table(&[0, 1, 2]);
    let mut harness = table.open();
    click_like(&mut harness, "Compare with Of the same die");
    harness.get_by_label("Your coin\u{2019}s crop");
    harness.get_by_label("The other coin\u{2019}s crop");
    assert!(says(&harness, "Obverse: 0 of 9 spots judged"));
    assert!(!says(&harness, "The light falls otherwise"));

    // The first zone of the set, seen by the next key.
    press(&mut harness, Key::N);
    let zone = open_set("demo").unwrap().set.obverse.zones[0].clone();
    press(&mut harness, Key::A);
    let finding = comparison(&harness).findings[0].clone();
    assert_eq!(finding.spot, Spot::Zone(zone.id.clone()));
    assert_eq!(finding.found, Some(Found::Same));
    let seen = finding.seen.unwrap();
    for (rows, coin) in [(seen.photo_from_side, 0), (seen.other_from_side, 1)] {
        let found = PictureFromSide::new(nalgebra::Matrix3::from_row_slice(&rows)).unwrap();
        let truth = &shots()[coin].1.truth;
        let off = (found.point_in_picture(zone.centre_mm) - truth.point_in_picture(zone.centre_mm)).length();
        assert!(off < 0.5, "coin {coin} lies {off} px from its truth");
    }
    let bench = harness.state().bench.as_ref().unwrap();
    let set = &bench.set;
    let aligned = |record: &SpecimenRecord| {
        pipeline::align_photo(set, Side::Obverse, record.obverse.as_ref().unwrap()).unwrap()
    };
    let (own, other) = (
        aligned(bench.record()),
        aligned(&bench.other.coin().unwrap().record),
    );
    let between = pipeline::uncertainty_between(&own, &other, seen.centre_mm).radius95_mm;
    assert!((seen.uncertainty_mm - between).abs() < 1e-12);
    assert!(between > own.uncertainty_at(seen.centre_mm).radius95_mm);

    // A place of the user's own, where nothing of the set is: zoomed to, kept, named, told.
    press(&mut harness, Key::P);
    let crop = harness.get_by_label("Your coin\u{2019}s crop").rect();
    let at = crop.center() + egui::vec2(crop.width() * 0.12, crop.height() * 0.1);
    harness.hover_at(at);
    harness.event(egui::Event::MouseWheel {
        unit: egui::MouseWheelUnit::Point,
        delta: egui::vec2(0.0, 400.0),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Wheel,
        modifiers: egui::Modifiers::NONE,
    });
    harness.run_ok();
    press(&mut harness, Key::K);
    let Spot::Place { size_mm, .. } = comparison(&harness).findings[1].spot.clone() else {
        panic!("no place was kept");
    };
    assert!(size_mm.1 < set_diameter() * 0.8, "{size_mm:?} after zooming");
    harness.get_by_label("Name of this place").focus();
    harness.run_ok();
    harness
        .get_by_label("Name of this place")
        .type_text("crack under the shell");
    harness.run_ok();
    click(&mut harness, "Differs here");
    press(&mut harness, Key::D);
    click(&mut harness, "More of it on the other coin");
    let crack = comparison(&harness).findings[1].clone();
    assert_eq!(crack.found, Some(Found::Differs(Difference::DieState)));
    assert_eq!(crack.more_on, Some(WhichCoin::Other));
    let Spot::Place { title, .. } = &crack.spot else {
        panic!("the place went");
    };
    assert_eq!(title, "crack under the shell");
    assert!(says(
        &harness,
        "crack under the shell: differs: die state, on the other coin"
    ));

    // A conclusion against the die state is pointed out; the right one keeps the caution on worn coins.
    click(&mut harness, "Conclude: same die, this coin later");
    assert!(says(&harness, "the conclusion says the reverse"));
    click(&mut harness, "Conclude: same die, this coin earlier");
    assert!(!says(&harness, "the conclusion says the reverse"));
    assert!(says(&harness, "agreement is no proof of one die"));
    harness.state_mut().push(Action::Undo);
    harness.run_ok();
    assert_eq!(
        comparison(&harness).conclusion,
        Some(Conclusion::SameDieThisLater)
    );
    harness.state_mut().push(Action::Redo);
    harness.run_ok();
    let kept = comparison(&harness).clone();
    assert_eq!(kept.conclusion, Some(Conclusion::SameDieThisEarlier));
    assert_eq!(kept.other.place, "../coin-1");
    assert_eq!(kept.other.sha256.len(), 64);

    harness.state_mut().push(Action::Save);
    harness.run_ok();
    drop(harness);
    let mut harness = table.open();
    assert_eq!(comparison(&harness), &kept);
    assert!(says(&harness, "Compared before"));
    let rows = "Compare with Of the same die: obverse: same die, this coin earlier";
    click_like(&mut harness, rows);
    assert!(says(&harness, "crack under the shell"));
    // The sheet finds the other coin's photo by its hash, and says so where it is another or gone.
    harness.state_mut().push(Action::GoToStep(Step::Sheet));
    harness.run_ok();
    let words = "Concluded, as an opinion: same die, this coin earlier.";
    if let Some(sheet) = sheet_text(&mut harness, &table) {
        assert!(sheet.contains(words), "{sheet}");
    }
    let mine = SpecimenFolder::open(&table.place(0)).unwrap().folder;
    let file = mine.other_photo(Side::Obverse, &kept.other).unwrap();
    assert_eq!(std::fs::read(file).unwrap(), shots()[1].0);
    let mut changed = kept.other.clone();
    changed.sha256 = "00".repeat(32);
    let error = mine.other_photo(Side::Obverse, &changed).unwrap_err().to_string();
    assert!(error.contains("another obverse photo now"), "{error}");
    changed.place = "../nowhere".to_owned();
    let error = mine.other_photo(Side::Obverse, &changed).unwrap_err().to_string();
    assert!(error.contains("nowhere"), "{error}");
    // The other coin was only looked at.
    let other = SpecimenFolder::open(&table.place(1)).unwrap().record;
    assert!(other.comparisons.is_empty());
}

/// The text of the exported sheet; none, said aloud, without poppler-utils.
fn sheet_text(harness: &mut Harness<'_, Window>, table: &Table) -> Option<String> {
    let file = table.cabinet.join("sheet.pdf");
    harness.state_mut().push(Action::ExportSheet(Some(file.clone())));
    harness.run_ok();
    assert!(file.is_file());
    let text = poppler("pdftotext", &["-layout", file.to_str().unwrap(), "-"])?;
    Some(String::from_utf8(text).unwrap())
}

fn set_diameter() -> f64 {
    open_set("demo").unwrap().set.measures.diameter_mm
}

#[test]
fn a_light_from_elsewhere_is_pointed_out() {
    let table = table(&[0, 3]);
    let mut harness = table.open();
    click_like(&mut harness, "Compare with Lit otherwise");
    harness.run_ok();
    assert!(says(&harness, "The light falls otherwise on the two coins"));
}

#[test]
fn a_coarse_alignment_is_pointed_out_with_the_coin_to_improve() {
    let table = table(&[0, 1]);
    let mut other = SpecimenFolder::open(&table.place(1)).unwrap();
    let landmarks = &mut other.record.obverse.as_mut().unwrap().landmarks;
    *landmarks = std::mem::take(landmarks).into_iter().take(2).collect();
    other.folder.save(&other.record).unwrap();
    let mut harness = table.open();
    click_like(&mut harness, "Compare with Of the same die");
    assert!(says(&harness, "The coins lie on each other to"));
    assert!(says(&harness, "The other coin\u{2019}s is the less certain"));
    click(&mut harness, "Open it to improve it");
    assert_eq!(record(&harness).title, "Of the same die");
}

#[test]
fn coins_of_two_dies_are_told_apart_by_the_user_with_any_instrument() {
    let table = table(&[0, 2]);
    let mut harness = table.open();
    click_like(&mut harness, "Compare with Of another die");
    press(&mut harness, Key::N);
    for look in ["Curtain", "Alternate", "Blend", "Edges", "Difference"] {
        click(&mut harness, look);
        harness.get_by_label(&format!("{look} of your coin and the other coin"));
    }
    press(&mut harness, Key::S);
    click(&mut harness, "Differs here");
    click(&mut harness, "Kind of difference: kind not said");
    click(&mut harness, "cut otherwise");
    click(&mut harness, "Conclude: same die");
    assert!(says(&harness, "1 spot is noted as cut otherwise"));
    click(&mut harness, "Conclude: different dies");
    assert!(!says(&harness, "noted as cut otherwise"));
    assert_eq!(comparison(&harness).conclusion, Some(Conclusion::DifferentDies));
    // Cannot tell steps through its reasons, and everything can be taken back.
    press(&mut harness, Key::C);
    press(&mut harness, Key::C);
    let found = comparison(&harness).findings[0].found;
    assert!(matches!(found, Some(Found::CannotTell(why)) if why != CannotTell::ALL[0]));
    press(&mut harness, Key::X);
    click(&mut harness, "Conclude: different dies");
    assert!(record(&harness).comparisons.is_empty());
}

#[test]
fn a_distance_is_measured_on_either_coin_at_its_own_scale() {
    let table = table(&[0, 1]);
    let mut harness = table.open();
    click_like(&mut harness, "Compare with Of the same die");
    press(&mut harness, Key::M);
    // Before the value's own line takes some height from the crops.
    let frame = harness.state().pages.compare.frame.unwrap();
    let crop = harness.get_by_label("The other coin\u{2019}s crop").rect();
    for dx in [-60.0, 60.0] {
        let at = crop.center() + egui::vec2(dx, 0.0);
        harness.hover_at(at);
        harness.drag_at(at);
        harness.drop_at(at);
        harness.run_ok();
    }
    let kept = comparison(&harness).measurements[0].clone();
    assert_eq!(kept.on, WhichCoin::Other);
    let length = (kept.points_mm[1] - kept.points_mm[0]).length();
    assert!((length - 120.0 / frame.px_per_mm).abs() < 0.02, "{length} mm");
    assert!(says(&harness, "distance on the other coin"));
}

#[test]
fn a_fine_shift_between_two_coins_is_offered_used_recorded_and_undone() {
    let table = table(&[0, 1]);
    // Every landmark of the other coin a pixel off to the right: at 15 px/mm within what the alignments allow.
    let mut other = SpecimenFolder::open(&table.place(1)).unwrap();
    for point in other.record.obverse.as_mut().unwrap().landmarks.values_mut() {
        point.x += 1.0;
    }
    other.folder.save(&other.record).unwrap();
    let mut harness = table.open();
    click_like(&mut harness, "Compare with Of the same die");
    press(&mut harness, Key::N);
    click(&mut harness, "Fine shift");
    assert!(
        record(&harness).comparisons.is_empty(),
        "nothing moves until it is used"
    );
    assert!(says(&harness, "Fine shift found"));
    click(&mut harness, "Use it");
    assert!(says(&harness, "Fine shift in use here"));
    let zone = open_set("demo").unwrap().set.obverse.zones[0].clone();
    let shift = comparison(&harness)
        .fine_shift(&Spot::Zone(zone.id.clone()))
        .unwrap();
    // The other coin's design lies a pixel of its photo, turned upright, from where its landmarks put it.
    let turn = f64::to_radians(COINS[1].3);
    let expected = dietell::geometry::SideVector::new(turn.cos(), -turn.sin()) / COINS[1].2;
    assert!(
        (shift.shift_mm - expected).length() < 0.02,
        "{:?} is not {expected:?}",
        shift.shift_mm
    );
    press(&mut harness, Key::A);
    let seen = comparison(&harness).findings[0].seen.clone().unwrap();
    let rows = PictureFromSide::new(nalgebra::Matrix3::from_row_slice(&seen.photo_from_side)).unwrap();
    let moved = rows.point_in_picture(zone.centre_mm);
    let truth = shots()[0].1.truth.point_in_picture(zone.centre_mm);
    assert!((moved - truth).length() > 0.5, "the shift is in what was seen");
    for _ in 0..2 {
        harness.state_mut().push(Action::Undo);
        harness.run_ok();
    }
    assert!(record(&harness).comparisons.is_empty());
    // The photos' own fine shifts, toward plates, are none of this.
    assert!(record(&harness).obverse.as_ref().unwrap().fine_shifts.is_empty());
}

#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        Err("a folder has no bytes".to_owned())
    }
}

#[test]
fn a_specimen_dropped_here_is_compared_with_and_elsewhere_opened() {
    let table = table(&[0, 1]);
    let mut harness = table.open();
    let drop_it = |harness: &mut Harness<'_, Window>, place: PathBuf| {
        let file: egui::DroppedFileHandle = std::sync::Arc::new(Dropped(place));
        harness.input_mut().dropped_files.push(file);
        harness.run_ok();
    };
    drop_it(&mut harness, table.place(1));
    let title = |harness: &Harness<'_, Window>| {
        let bench = harness.state().bench.as_ref().unwrap();
        (
            bench.record().title.clone(),
            bench.other.coin().map(|coin| coin.record.title.clone()),
        )
    };
    assert_eq!(
        title(&harness),
        ("Mine".to_owned(), Some("Of the same die".to_owned()))
    );
    press(&mut harness, Key::B);
    drop_it(&mut harness, table.place(1));
    assert_eq!(title(&harness), ("Of the same die".to_owned(), None));
}

#[test]
fn another_photo_since_a_finding_is_pointed_out() {
    let table = table(&[0, 1]);
    let mut mine = SpecimenFolder::open(&table.place(0)).unwrap();
    let other = dietell::specimen::OtherSpecimen {
        title: "Of the same die".to_owned(),
        place: "../coin-1".to_owned(),
        photo: "old.png".to_owned(),
        sha256: "00".repeat(32),
    };
    mine.record.compare_with(Side::Obverse, &other, |c| {
        let finding = c.finding_mut(&Spot::WholeSide);
        finding.found = Some(Found::Same);
        finding.seen = Some(dietell::specimen::SeenPair {
            photo_from_side: [0.0; 9],
            other_from_side: [0.0; 9],
            sha256: "11".repeat(32),
            other_sha256: "00".repeat(32),
            centre_mm: dietell::geometry::SidePoint::origin(),
            size_mm: (1.0, 1.0),
            px_per_mm: 10.0,
            uncertainty_mm: 0.1,
            light_evened: 0.0,
        });
    });
    mine.folder.save(&mine.record).unwrap();
    let mut harness = table.open();
    click_like(&mut harness, "Compare with Of the same die: obverse");
    assert!(says(&harness, "was found on another photo of one of the coins"));
    press(&mut harness, Key::A);
    assert!(!says(&harness, "was found on another photo of one of the coins"));
}

#[test]
fn keys_alone_reach_and_keep_a_place() {
    let table = table(&[0, 1]);
    let mut harness = table.open();
    click_like(&mut harness, "Compare with Of the same die");
    for _ in 0..6 {
        press(&mut harness, Key::Plus);
    }
    for _ in 0..4 {
        harness.key_press_modifiers(egui::Modifiers::SHIFT, Key::ArrowRight);
        harness.run_ok();
    }
    let frame = harness.state().pages.compare.frame.unwrap();
    press(&mut harness, Key::K);
    let Spot::Place {
        centre_mm, size_mm, ..
    } = comparison(&harness).findings[0].spot.clone()
    else {
        panic!("no place was kept");
    };
    assert!(centre_mm.x > 1.0 && centre_mm.y.abs() < 0.01, "{centre_mm:?}");
    assert!((centre_mm - frame.centre).length() < 0.01);
    assert!(size_mm.1 < set_diameter() / 3.0);
    harness.get_by_label("Name of this place");
    click(&mut harness, "Remove this place");
    assert!(record(&harness).comparisons.is_empty());
    harness.get_by_label_contains("Look for cracks, clash marks and recut details");
}

#[test]
fn what_cannot_be_compared_says_why_and_what_to_do() {
    let table = table(&[0, 1]);
    // Another set's coin.
    let strange = table.cabinet.join("strange");
    let mut record = SpecimenFolder::open(&table.place(1)).unwrap().record;
    record.set.id = "another-set".to_owned();
    record.set.title = "Another set".to_owned();
    SpecimenFolder::create(&strange, &record).unwrap();
    // A coin of the set that is not aligned.
    let bare = table.cabinet.join("bare");
    let mut folder = SpecimenFolder::create(&bare, &record).unwrap();
    record = SpecimenFolder::open(&table.place(1)).unwrap().record;
    record.title = "Bare".to_owned();
    record.obverse.as_mut().unwrap().landmarks.clear();
    folder.save(&record).unwrap();

    let mut harness = table.open();
    assert!(!says(&harness, "Compare with strange"));
    for (place, words) in [
        (strange, "only coins of one set share the landmarks"),
        (table.place(0), "That is this coin itself"),
    ] {
        table.dialogs.answer(place);
        click(&mut harness, "Open a specimen\u{2019}s folder\u{2026}");
        assert!(says(&harness, words), "{words}");
    }
    table.dialogs.answer(bare);
    click(&mut harness, "Open a specimen\u{2019}s folder\u{2026}");
    assert!(says(
        &harness,
        "The other coin\u{2019}s obverse is not aligned yet"
    ));
    harness.get_by_label("Open that coin");
    // The other side was photographed on neither coin.
    harness.state_mut().push(Action::ShowSide(Side::Reverse));
    harness.run_ok();
    assert!(says(&harness, "The other coin\u{2019}s reverse has no photo"));
    assert!(says(&harness, "No reverse photo"));
    // Back to the plates by key.
    press(&mut harness, Key::B);
    assert_eq!(harness.state().pages.compare.beside, Beside::Plates);
    assert!(says(&harness, "Still in"));
}
