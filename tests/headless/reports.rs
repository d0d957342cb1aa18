//! What the verbs do when all is well.

use std::fs;

use dietell::crop::CropFrame;
use dietell::geometry::{CropPoint, SidePoint};
use dietell::headless::Exit;
use dietell::reference::Side;
use dietell::specimen::{Ruling, SpecimenFolder, Verdict};
use image::RgbaImage;

use super::numbers::greatest;
use super::workshop::{LANDMARKS, Workshop, colour, files, photo_from_side, plate_from_side};

#[test]
fn a_sound_set_passes_the_check() {
    let shop = Workshop::new();
    let said = shop.run("check @/set --json");
    let report = said.json();
    assert_eq!(said.exit, Exit::Done, "{report:#}");
    assert_eq!(
        (&report["id"], &report["edition"], &report["errors"]),
        (&"workshop".into(), &3.into(), &0.into())
    );
    assert_eq!(report["counts"]["pairings"], 3);
    // A plate that is not there is an error, and a 'no' for scripts.
    fs::remove_file(shop.path("set/plates/obverse-2.png")).unwrap();
    let said = shop.run("check @/set");
    assert_eq!(said.exit, Exit::Negative);
    assert!(said.out.contains("plates/obverse-2.png"), "{}", said.out);
}

#[test]
fn a_new_specimen_keeps_the_photos_byte_for_byte() {
    let shop = Workshop::new();
    shop.start();
    for side in Side::BOTH {
        let original = fs::read(shop.photo(side)).unwrap();
        let kept = files(&shop.path("coin"))
            .into_iter()
            .find(|name| name.starts_with(side.word()))
            .unwrap();
        assert_eq!(fs::read(shop.path("coin").join(kept)).unwrap(), original);
    }
}

#[test]
fn the_alignment_is_the_true_one() {
    let shop = Workshop::new();
    shop.start();
    let said = shop.run("align @/coin --json");
    let report = said.json();
    assert_eq!(said.exit, Exit::Done, "{report:#}");
    for (place, side) in Side::BOTH.into_iter().enumerate() {
        let alignment = &report["sides"][place]["alignment"];
        // Which model is chosen is for the alignment's own tests; by true landmarks any must give the true places.
        let m = |row: usize, column: usize| alignment["photo_from_side"][row][column].as_f64().unwrap();
        let truth = photo_from_side(side);
        for (_, x, y) in LANDMARKS {
            let at = |row: usize| m(row, 0) * x + m(row, 1) * y + m(row, 2);
            let there = truth.point_in_picture(SidePoint::new(x, y));
            let off = (at(0) / at(2) - there.x).hypot(at(1) / at(2) - there.y);
            assert!(off < 0.02, "{off} px");
        }
        assert_eq!(alignment["landmarks"].as_array().unwrap().len(), LANDMARKS.len());
        assert!(
            alignment["landmarks"]
                .as_array()
                .unwrap()
                .iter()
                .all(|l| l["residual_mm"].as_f64().unwrap() < 2e-3)
        );
        for zone in alignment["zones"].as_array().unwrap() {
            let alone = zone["uncertainty_mm"].as_f64().unwrap();
            let with_plates = zone["uncertainty_with_plates_mm"].as_f64().unwrap();
            assert!(
                0.0 < alone && alone < with_plates && with_plates < 1.0,
                "{zone:#}"
            );
        }
    }
    let said = shop.run("align @/coin");
    assert!(
        said.out.contains("obverse: ") && said.out.contains("zone east"),
        "{}",
        said.out
    );
}

#[test]
fn crops_are_true_to_scale_and_named_for_what_they_show() {
    let shop = Workshop::new();
    shop.start();
    let said = shop.run("crops @/coin --out @/crops --px-per-mm 25 --json");
    let report = said.json();
    assert_eq!(said.exit, Exit::Done, "{report:#}");
    let mut named: Vec<String> = ["obverse", "reverse"]
        .iter()
        .zip(["O", "R"])
        .flat_map(|(side, letter)| {
            [
                format!("{side}_line_coin.png"),
                format!("{side}_line_state-broken_plate-{letter}2-1.png"),
                format!("{side}_line_state-whole_plate-{letter}1-1.png"),
                format!("{side}_stop_coin.png"),
                format!("{side}_stop_state-far_plate-{letter}2-1.png"),
                format!("{side}_stop_state-near_plate-{letter}1-1.png"),
            ]
        })
        .collect();
    named.sort();
    assert_eq!(files(&shop.path("crops")), named);
    // Every pixel shows the colour of its place on the side, of the die that the crop is said to show.
    for crop in report["crops"].as_array().unwrap() {
        let picture = image::open(shop.path("crops").join(crop["file"].as_str().unwrap()))
            .unwrap()
            .to_rgba8();
        let centre = &crop["centre_mm"];
        let frame = CropFrame {
            centre: SidePoint::new(centre[0].as_f64().unwrap(), centre[1].as_f64().unwrap()),
            px_per_mm: 25.0,
            rotation_deg: 0.0,
            width_px: picture.width(),
            height_px: picture.height(),
        };
        let wide = if crop["zone"] == "east" { 100 } else { 75 };
        assert_eq!(picture.dimensions(), (wide, 75));
        let die = if crop["die"].as_str().is_some_and(|die| die.ends_with('2')) {
            2
        } else {
            1
        };
        assert!(greatest_error(&picture, &frame, die) < 3.0, "{crop:#}");
        assert!(
            greatest_error(&picture, &frame, 3 - die) > 30.0,
            "the check tells dies apart: {crop:#}"
        );
    }
}

#[test]
fn another_coins_crops_lie_beside_at_the_same_scale() {
    let shop = Workshop::new();
    shop.start();
    // A coin of the second die, photographed as that die's plate was; its reverse not at all.
    let mut table = String::from("side,name,x_px,y_px\n");
    for (name, x, y) in LANDMARKS {
        let p = plate_from_side().point_in_picture(SidePoint::new(x, y));
        table.push_str(&format!("obverse,{name},{},{}\n", p.x, p.y));
    }
    fs::write(shop.path("other.csv"), table).unwrap();
    let said =
        shop.run("new @/other --set @/set --obverse @/set/plates/obverse-2.png --landmarks @/other.csv");
    assert_eq!(said.exit, Exit::Done, "{}", said.err);
    let said = shop.run("crops @/coin --out @/crops --px-per-mm 25 --against @/other --json");
    let report = said.json();
    assert_eq!(said.exit, Exit::Negative, "{report:#}");
    let missing = report["missing"].as_array().unwrap();
    assert_eq!(missing.len(), 2, "{report:#}");
    assert!(
        missing
            .iter()
            .all(|m| m["side"] == "reverse" && m["shows"] == "other-coin")
    );
    let crops = report["crops"].as_array().unwrap();
    let of = |shows: &str, feature: &str| {
        crops
            .iter()
            .find(|c| c["side"] == "obverse" && c["shows"] == shows && c["feature"] == feature)
            .unwrap()
    };
    for feature in ["line", "stop"] {
        let (coin, other) = (of("coin", feature), of("other-coin", feature));
        let picture = image::open(shop.path("crops").join(other["file"].as_str().unwrap()))
            .unwrap()
            .to_rgba8();
        let centre = &other["centre_mm"];
        let frame = CropFrame {
            centre: SidePoint::new(centre[0].as_f64().unwrap(), centre[1].as_f64().unwrap()),
            px_per_mm: 25.0,
            rotation_deg: 0.0,
            width_px: picture.width(),
            height_px: picture.height(),
        };
        assert!(greatest_error(&picture, &frame, 2) < 3.0, "{other:#}");
        assert!(greatest_error(&picture, &frame, 1) > 30.0, "{other:#}");
        let radius = |c: &serde_json::Value| c["uncertainty_mm"].as_f64().unwrap();
        assert!(radius(other) > radius(coin));
    }
    let said = shop.run("crops @/coin --out @/crops --px-per-mm 25 --against @/nowhere");
    assert_ne!(said.exit, Exit::Done);
    assert!(said.err.contains("nowhere"), "{}", said.err);
}

/// The greatest difference from the colours of that die, in levels.
fn greatest_error(picture: &RgbaImage, frame: &CropFrame, die: u32) -> f64 {
    let pixels = picture.enumerate_pixels().map(|(x, y, pixel)| {
        let place = frame.point_on_side(CropPoint::new(f64::from(x), f64::from(y)));
        let truth = colour(place, die);
        assert_eq!(pixel[3], 255);
        greatest((0..3).map(|i| (f64::from(pixel[i]) - truth[i]).abs()))
    });
    greatest(pixels)
}

#[test]
fn verdicts_and_facts_lead_to_a_standing() {
    let shop = Workshop::new();
    shop.start();
    assert_eq!(
        shop.run("standing @/coin --json").json()["outcome"]["kind"],
        "open"
    );
    let give = |side: &str, feature: &str, state: &str, ruling: &str| {
        let said = shop.run(&format!(
            "verdict @/coin --side {side} --feature {feature} --state {state} --ruling {ruling}"
        ));
        assert_eq!(said.exit, Exit::Done, "{}", said.err);
    };
    give("obverse", "stop", "near", "agrees");
    give("obverse", "line", "broken", "differs");
    give("reverse", "stop", "near", "differs");
    give("reverse", "line", "broken", "agrees");
    let report = shop.run("standing @/coin --json").json();
    assert_eq!(report["outcome"]["kind"], "settled", "{report:#}");
    assert_eq!(report["outcome"]["catalogue"], "W2");
    assert_eq!(report["set"]["id"], "workshop");
    assert_eq!(report["verdicts"], 4);
    let out = report["pairings"][0]["out"].as_array().unwrap();
    assert_eq!(out, &["The reverse die R1 is out."]);
    // W2 against W3 by the obverse: stop 0.95 and 0.05, line 0.93 + 0.035 and 0.035 + 0.035 under a careful look, which
    // is 0.95 of all; half of that and half a guess under a poor one. Against W1 it is more.
    let poor = |careful: f64, guess: f64| 0.5 * careful + 0.5 * guess;
    let of = |stop: f64, line: f64| 0.95 * stop * line + 0.05 * poor(stop, 0.5) * poor(line, 2.0 / 3.0);
    let ratio = (of(0.95, 0.965) / of(0.05, 0.07)).log10();
    assert!((report["ratio"]["log10"].as_f64().unwrap() - ratio).abs() < 1e-9);
    assert_eq!(report["ratio"]["words"], "moderately strong support");
    let text = shop.run("standing @/coin").out;
    assert!(
        text.starts_with("Settled: W2, obverse O1 with reverse R2\n"),
        "{text}"
    );
    assert!(text.ends_with("not an authentication.\n"), "{text}");
    // A verdict given anew takes the place of the one before, and none withdraws it.
    give("reverse", "stop", "near", "cannot-tell:glare");
    give("reverse", "line", "broken", "none");
    let report = shop.run("standing @/coin --json").json();
    assert_eq!(
        (&report["verdicts"], &report["outcome"]["kind"]),
        (&3.into(), &"open".into()),
        "{report:#}"
    );
}

#[test]
fn a_verdict_given_again_keeps_its_note_as_in_the_window() {
    let shop = Workshop::new();
    shop.start();
    let give = |rest: &str| {
        let said = shop.run(&format!(
            "verdict @/coin --side obverse --feature stop --state near {rest}"
        ));
        assert_eq!(said.exit, Exit::Done, "{}", said.err);
        SpecimenFolder::open(&shop.path("coin")).unwrap().record.verdicts
    };
    let told = |verdicts: &[Verdict]| {
        verdicts
            .iter()
            .map(|v| (v.ruling, v.note.clone()))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        told(&give("--ruling agrees --note clear")),
        [(Ruling::Agrees, "clear".to_owned())]
    );
    assert_eq!(
        told(&give("--ruling differs")),
        [(Ruling::Differs, "clear".to_owned())]
    );
    assert_eq!(
        told(&give("--ruling differs --note worn")),
        [(Ruling::Differs, "worn".to_owned())]
    );
    assert!(give("--ruling none").is_empty());
}

#[test]
fn facts_are_answered_and_withdrawn() {
    let shop = Workshop::new();
    shop.start();
    let out = |value: &str| {
        let said = shop.run(&format!("fact @/coin date {value}"));
        assert_eq!(said.exit, Exit::Done, "{}", said.err);
        let report = shop.run("standing @/coin --json").json();
        let pairings = report["pairings"].as_array().unwrap().clone();
        pairings
            .iter()
            .map(|p| p["out"].as_array().unwrap().len())
            .collect::<Vec<_>>()
    };
    assert_eq!(out("1"), [0, 0, 1]);
    assert_eq!(out("1|2"), [0, 0, 0]);
    assert_eq!(out("2"), [1, 0, 0]);
    assert_eq!(out("unreadable"), [0, 0, 0]);
    assert_eq!(out("none"), [0, 0, 0]);
    assert_eq!(shop.run("fact @/coin weight 5.6").exit, Exit::Done);
    let cautions = &shop.run("standing @/coin --json").json()["cautions"];
    assert!(
        cautions[0].as_str().unwrap().contains("Wear cannot add weight"),
        "{cautions}"
    );
}

#[test]
fn a_sheet_is_written_as_pdf_and_png() {
    let shop = Workshop::new();
    shop.start();
    for (file, start) in [
        ("sheet.pdf", b"%PDF".as_slice()),
        ("sheet.png", b"\x89PNG".as_slice()),
    ] {
        let said = shop.run(&format!(
            "sheet @/coin --out @/{file} --paper letter --date 2021-05-04"
        ));
        assert_eq!(said.exit, Exit::Done, "{}", said.err);
        assert!(fs::read(shop.path(file)).unwrap().starts_with(start));
        assert!(said.out.contains(file));
    }
    // The same date makes the same file.
    shop.run("sheet @/coin --out @/again.pdf --paper letter --date 2021-05-04");
    assert_eq!(
        fs::read(shop.path("sheet.pdf")).unwrap(),
        fs::read(shop.path("again.pdf")).unwrap()
    );
}

#[test]
fn a_packed_set_serves_as_its_folder_does() {
    let shop = Workshop::new();
    let said = shop.run("pack @/set --out @/set.dieset");
    assert_eq!((said.exit, said.err.as_str()), (Exit::Done, ""));
    let counts = |set: &str| shop.run(&format!("check {set} --json")).json()["counts"].clone();
    assert_eq!(counts("@/set.dieset"), counts("@/set"));
    let said = shop.run("new @/coin --set @/set.dieset --obverse @/obverse.png --reverse @/reverse.png");
    assert_eq!(said.exit, Exit::Done, "{}", said.err);
    let said = shop.run("crops @/coin --out @/crops --px-per-mm 10 --json");
    assert_eq!(
        said.json()["crops"].as_array().unwrap().len(),
        8,
        "the plates are read from the pack"
    );
    let said = shop.run("pack @/set --out @/nowhere/set.dieset");
    assert_eq!(said.exit, Exit::Unwritable, "{}", said.err);
}

#[test]
fn the_demo_is_made_and_its_set_passes_the_check() {
    let shop = Workshop::new();
    assert_eq!(shop.run("demo @/demo-coin").exit, Exit::Done);
    assert_eq!(
        shop.run("standing @/demo-coin --json").json()["outcome"]["kind"],
        "open"
    );
    assert_eq!(
        shop.run("demo @/demo-coin").exit,
        Exit::Unwritable,
        "a folder in use is left alone"
    );
    let report = shop.run("check demo --json").json();
    assert_eq!(report["errors"], 0, "{report:#}");
}

#[test]
fn a_rim_that_is_not_there_is_a_no() {
    let shop = Workshop::new();
    shop.start();
    // The drawn photos fill the picture: no coin's edge is in them.
    let said = shop.run("find-rim @/coin --keep --json");
    let report = said.json();
    assert_eq!(said.exit, Exit::Negative, "{report:#}");
    assert!(
        report["sides"][0]["problem"]
            .as_str()
            .unwrap()
            .contains("rim was not found"),
        "{report:#}"
    );
    assert!(!report["sides"][0]["kept"].as_bool().unwrap());
}

#[test]
fn help_and_version_are_reports() {
    let shop = Workshop::new();
    for (line, start) in [("--help", "Tell coin dies apart"), ("--version", "dietell ")] {
        let said = shop.run(line);
        assert_eq!((said.exit, said.err.as_str()), (Exit::Done, ""));
        assert!(said.out.starts_with(start), "{}", said.out);
    }
}
