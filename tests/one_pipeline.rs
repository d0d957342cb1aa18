//! Window, verbs and sheet on one specimen's folder: the same alignments, radii, crops to the byte, reasons for what is
//! missing, and standing. The folder holds what could tell them apart: a fine shift, a photo whose bytes changed, a plate
//! that is gone and one whose landmarks coincide.
#![allow(clippy::unwrap_used, reason = "a test may stop at what it did not expect")]

#[path = "headless/workshop.rs"]
#[allow(dead_code, reason = "the verbs' own tests use the rest")]
mod workshop;

use std::fs;
use std::path::Path;

use dietell::app::model::action::Action;
use dietell::app::model::comparing::Seen;
use dietell::app::model::picture_slot::PictureSlot;
use dietell::app::shell::dialogs::ScriptedDialogs;
use dietell::app::shell::window::{Setup, Window};
use dietell::crop::cut;
use dietell::evidence::Prior;
use dietell::geometry::SideVector;
use dietell::photo::Watch;
use dietell::pipeline::{PlateKey, Study, open_specimen, state_views, zone_uncertainty};
use dietell::reference::{Side, Zone};
use dietell::sheet::content::{FeatureContent, SheetContent};
use dietell::sheet::gather;
use dietell::specimen::{Edit, FineShift, PhotoEdit, SpecimenFolder};
use egui_kittest::Harness;
use image::RgbaImage;
use serde_json::Value;
use workshop::Workshop;

/// A specimen with a verdict, a fine shift, and all that can go missing.
fn shop() -> Workshop {
    let shop = Workshop::new();
    // The first reverse die's plate is marked with all its landmarks on one point.
    let file = shop.path("set/set.ron");
    let text = fs::read_to_string(&file).unwrap();
    let plate = text.find("plates/reverse-1.png").unwrap();
    let from = plate + text[plate..].find('{').unwrap();
    let to = from + text[from..].find('}').unwrap();
    let on_one_point = "{\"top\": (160.0, 33.0), \"foot\": (160.0, 33.0)";
    fs::write(&file, format!("{}{on_one_point}{}", &text[..from], &text[to..])).unwrap();
    shop.start();
    fs::remove_file(shop.path("set/plates/obverse-2.png")).unwrap();
    let said = shop.run("verdict @/coin --side obverse --feature stop --state near --ruling agrees");
    assert_eq!(said.err, "");
    let mut opened = SpecimenFolder::open(&shop.path("coin")).unwrap();
    let shift_mm = SideVector::new(0.21, -0.13);
    let edit = PhotoEdit::FineShift("east".into(), Some(FineShift { shift_mm }));
    Edit::Photo(Side::Obverse, edit).apply(&mut opened.record);
    opened.folder.save(&opened.record).unwrap();
    // One more byte after the picture's end shows the same picture, but it is not the file that was taken in.
    let photo = shop.path("coin").join(&opened.record.reverse.unwrap().file);
    let mut bytes = fs::read(&photo).unwrap();
    bytes.push(0);
    fs::write(photo, bytes).unwrap();
    shop
}

fn window(shop: &Workshop) -> Harness<'static, Window> {
    let setup = Setup::for_test(ScriptedDialogs::default(), shop.path("cabinet"));
    let mut window = Window::new(setup);
    window.push(Action::OpenSpecimen(Some(shop.path("coin"))));
    let mut harness = Harness::builder().build_ui_state(
        |ui, window: &mut Window| {
            window.tick(ui.ctx());
            window.frame_ui(ui);
        },
        window,
    );
    harness.run_steps(4);
    harness
}

/// A plate as the window has it: its picture or the sentence why not, and its alignment or the sentence why not.
fn plate_in_window(window: &mut Harness<'_, Window>, key: &PlateKey, zone: &Zone) -> Result<Seen, String> {
    window.state_mut().plates.get(key);
    window.run_steps(3);
    let view = window.state_mut().plates.get(key);
    match (view.slot, view.alignment) {
        (PictureSlot::Ready(picture), Some(Ok(alignment))) => Ok(Seen::at(&picture, &alignment, zone, None)),
        (PictureSlot::Ready(_), Some(Err(error))) => Err(dietell::words::plate_not_aligned(&error)),
        (PictureSlot::Failed(problem), _) => Err(problem.to_string()),
        (slot, _) => panic!("{slot:?}"),
    }
}

fn coin_in_window(window: &mut Harness<'_, Window>, side: Side, zone: &Zone) -> Result<Seen, String> {
    let bench = window.state_mut().bench.as_mut().unwrap();
    let alignment = bench.derived().alignments[side].clone().unwrap();
    let photo = bench.record().photo(side).unwrap().clone();
    match bench.photos[side].clone() {
        PictureSlot::Ready(picture) => Ok(Seen::at(
            &picture,
            &alignment.map_err(|error| error.to_string())?,
            zone,
            photo.fine_shifts.get(&zone.id),
        )),
        PictureSlot::Failed(problem) => Err(problem.to_string()),
        slot => panic!("{slot:?}"),
    }
}

fn sheet(folder: &Path) -> SheetContent {
    let opened = open_specimen(folder).unwrap();
    let album = opened.album(&Default::default());
    let study = Study::new(&opened.set, &opened.record, Prior::Equal, &album);
    gather(&study, &Watch::default())
}

/// A number as it is read back from a report: the text has it in full, but the reader may be one in the last place off.
fn as_read(value: f64) -> f64 {
    serde_json::from_str(&serde_json::to_string(&value).unwrap()).unwrap()
}

/// What the verbs have of a feature's coin or state: the pixels with the radius, or the reason.
fn by_verbs(
    shop: &Workshop,
    report: &Value,
    feature: &FeatureContent,
    id: &str,
    state: Option<&str>,
) -> Result<(RgbaImage, f64), String> {
    let is_it = |entry: &&Value| {
        entry["side"] == feature.side.word() && entry["feature"] == id && entry["state"].as_str() == state
    };
    if let Some(crop) = report["crops"].as_array().unwrap().iter().find(is_it) {
        let file = shop.path("crops").join(crop["file"].as_str().unwrap());
        let pixels = image::open(file).unwrap().to_rgba8();
        return Ok((pixels, crop["uncertainty_mm"].as_f64().unwrap()));
    }
    let missing = report["missing"].as_array().unwrap().iter().find(is_it);
    Err(missing.unwrap()["reason"].as_str().unwrap().to_owned())
}

#[test]
fn alignments_and_standing_are_the_same() {
    let shop = shop();
    let mut window = window(&shop);
    let bench = window.state_mut().bench.as_mut().unwrap();
    let set = bench.set.clone();
    let derived = bench.derived().clone();
    let verbs = shop.run("align @/coin --json").json();
    let content = sheet(&shop.path("coin"));
    for (index, side) in Side::BOTH.into_iter().enumerate() {
        let in_window = derived.alignments[side].clone().unwrap().unwrap();
        let by_verb = &verbs["sides"][index]["alignment"];
        let on_sheet = content.sides[index].alignment.as_ref().unwrap();
        for row in 0..3 {
            for column in 0..3 {
                let value = by_verb["photo_from_side"][row][column].as_f64().unwrap();
                let matrix = in_window.picture_from_side.matrix();
                assert_eq!(value, as_read(matrix[(row, column)]));
            }
        }
        assert_eq!(by_verb["noise_px"].as_f64().unwrap(), as_read(in_window.noise_px));
        assert_eq!(on_sheet.noise_px, in_window.noise_px);
        assert_eq!(on_sheet.model, in_window.model);
        assert_eq!(derived.zone_radii_mm[side].len(), 2);
        for (zone, &radius) in derived.zone_radii_mm[side].iter().enumerate() {
            let by_verb = by_verb["zones"][zone]["uncertainty_mm"].as_f64().unwrap();
            let on_sheet = on_sheet.zones[zone].radius95_mm;
            assert_eq!((by_verb, on_sheet), (as_read(radius), radius));
        }
    }
    let verbs = shop.run("standing @/coin --json").json();
    assert_eq!(
        verbs["outcome"]["headline"],
        derived.standing.outcome.headline(&set)
    );
    assert_eq!(content.outcome.explanation, derived.standing.explanation(&set));
    for (index, pairing) in derived.standing.pairings.iter().enumerate() {
        let by_verb = verbs["pairings"][index]["probability"].as_f64().unwrap();
        let on_sheet = content.pairings[index].probability;
        let probability = pairing.probability;
        assert_eq!((by_verb, on_sheet), (as_read(probability), probability));
    }
    // Had the verdict been lost on the way, all pairings would be alike.
    assert!(derived.standing.pairings[0].probability > derived.standing.pairings[2].probability);
}

#[test]
fn crops_radii_and_reasons_are_the_same() {
    let shop = shop();
    let mut window = window(&shop);
    let set = window.state().bench.as_ref().unwrap().set.clone();
    let content = sheet(&shop.path("coin"));
    let (mut crops, mut reasons) = (0, Vec::new());
    for side in Side::BOTH {
        let reference = set.side(side);
        let on_sheet = content.features.iter().filter(|feature| feature.side == side);
        for (feature, on_sheet) in reference.features.iter().zip(on_sheet) {
            let zone = reference.zone(&feature.zone).unwrap();
            // The verbs are asked for the sheet's own scale and margin, so that every pixel can be held to it.
            let px_per_mm = f64::from(on_sheet.enlargement) * 300.0 / 25.4;
            let line = format!("crops @/coin --out @/crops --px-per-mm {px_per_mm} --margin 0.25 --json");
            let report = shop.run(&line).json();
            let coin = coin_in_window(&mut window, side, zone);
            let aligned = window.state_mut().bench.as_mut().unwrap().derived().alignments[side]
                .clone()
                .unwrap()
                .unwrap();
            let mut same = |in_window: Result<(&Seen, f64), &String>,
                            on_sheet: Result<(&RgbaImage, f64), String>,
                            frame: Option<&dietell::crop::CropFrame>,
                            by_verbs: Result<(RgbaImage, f64), String>| {
                match (in_window, on_sheet, by_verbs) {
                    (Ok((seen, radius)), Ok((printed, printed_radius)), Ok((written, written_radius))) => {
                        let drawn = cut(&seen.picture, &seen.from_side, frame.unwrap()).pixels;
                        assert!(drawn == *printed && drawn == written, "{side:?} {}", feature.id);
                        assert_eq!((printed_radius, written_radius), (radius, as_read(radius)));
                        crops += 1;
                    }
                    (Err(shown), Err(printed), Err(written)) => {
                        assert_eq!((&printed, &written), (shown, shown));
                        reasons.push(written);
                    }
                    (in_window, on_sheet, by_verbs) => panic!(
                        "{side:?} {}: {:?} {:?} {:?}",
                        feature.id,
                        in_window.err(),
                        on_sheet.err(),
                        by_verbs.err()
                    ),
                }
            };
            let radius = zone_uncertainty(&aligned, None, zone).radius95_mm;
            let printed = on_sheet.coin.as_ref().map_err(ToString::to_string);
            same(
                coin.as_ref().map(|seen| (seen, radius)),
                printed.map(|crop| (&*crop.pixels, on_sheet.radius95_mm.unwrap())),
                on_sheet.coin.as_ref().ok().map(|crop| &crop.frame),
                by_verbs(&shop, &report, on_sheet, feature.id.as_str(), None),
            );
            for (view, state) in state_views(reference, feature).into_iter().zip(&on_sheet.states) {
                let (Some((die, number)), Some(plate)) = (view.plate, &state.plate) else {
                    continue;
                };
                let in_window = plate_in_window(&mut window, &(side, die, number), zone);
                let radius = in_window.as_ref().map_or(f64::NAN, |seen| {
                    zone_uncertainty(&aligned, Some(&seen.alignment), zone).radius95_mm
                });
                let printed = plate.crop.as_ref().map_err(ToString::to_string);
                same(
                    in_window.as_ref().map(|seen| (seen, radius)),
                    printed.map(|crop| (&*crop.pixels, plate.radius95_mm.unwrap())),
                    plate.crop.as_ref().ok().map(|crop| &crop.frame),
                    by_verbs(
                        &shop,
                        &report,
                        on_sheet,
                        feature.id.as_str(),
                        Some(view.state.as_str()),
                    ),
                );
            }
        }
    }
    // Obverse: the coin and the first die's plate in two zones; reverse: the second die's plate in two.
    assert_eq!(crops, 6, "{reasons:#?}");
    // The plate that is gone, the photo that changed and the plate on one point, in two zones each.
    assert_eq!(reasons.len(), 6, "{reasons:#?}");
    for part in ["obverse-2.png", "was changed since it was taken in", "coincide"] {
        let said = reasons.iter().filter(|reason| reason.contains(part)).count();
        assert_eq!(said, 2, "{part}: {reasons:#?}");
    }
}
