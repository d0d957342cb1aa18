//! The pages as pictures, where a graphics adapter (a software one will do) is there.
//!
//! With `DIETELL_DRAW_PAGES` set to a folder, every page is written there to look at.

use dietell::app::model::bench::Step;
use dietell::app::shell::window::Window;
use dietell::specimen::Theme;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use image::RgbaImage;

use super::absent::skip;
use super::synthetic::{harness, record, window};

/// Draws the window; none, said aloud, without an adapter.
pub fn drawn(harness: &mut Harness<'_, Window>) -> Option<RgbaImage> {
    // Making the renderer panics where there is no adapter.
    let drawn = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| harness.render()));
    match drawn {
        Ok(Ok(image)) => Some(image),
        _ => {
            skip("no graphics adapter draws the window");
            None
        }
    }
}

fn keep(image: &RgbaImage, name: &str) {
    if let Some(folder) = std::env::var_os("DIETELL_DRAW_PAGES") {
        std::fs::create_dir_all(&folder).unwrap();
        image
            .save(std::path::Path::new(&folder).join(format!("{name}.png")))
            .unwrap();
    }
}

/// Mean absolute difference in grey levels of two equal rectangles, edges with overlays left out.
fn difference(image: &RgbaImage, a: egui::Rect, b: egui::Rect) -> f64 {
    let grey = |x: f32, y: f32| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "inside the picture"
        )]
        let [r, g, b, _] = image.get_pixel(x as u32, y as u32).0;
        (f64::from(r) + f64::from(g) + f64::from(b)) / 3.0
    };
    let inside = a.shrink2(a.size() * 0.2);
    let (mut sum, mut count) = (0.0, 0.0);
    let mut y = inside.top();
    while y < inside.bottom() {
        let mut x = inside.left();
        while x < inside.right() {
            let (dx, dy) = (b.left() - a.left(), b.top() - a.top());
            sum += (grey(x, y) - grey(x + dx, y + dy)).abs();
            count += 1.0;
            x += 1.0;
        }
        y += 1.0;
    }
    sum / count
}

#[test]
fn the_coins_crop_lies_on_its_own_dies_plate() {
    let mut harness = harness(
        window(Step::Compare, record(), Default::default()),
        (1280.0, 800.0),
    );
    let Some(image) = drawn(&mut harness) else { return };
    let coin = harness.get_by_label("Your coin\u{2019}s crop").rect();
    let of = |n: usize, words: &str| {
        let plate = harness
            .get_by_label(&format!("Plate of state {n}: {words}"))
            .rect();
        difference(&image, coin, plate)
    };
    // The coin is of the die with two leaves; photo and plate differ in scale, turn and tone.
    let own = of(3, "two leaves");
    let others = [
        of(1, "no leaf"),
        of(2, "one leaf"),
        of(4, "three leaves"),
        of(5, "four leaves"),
    ];
    for other in others {
        assert!(own < other * 0.9, "own {own}, others {others:?}");
    }
}

#[test]
fn every_page_draws_at_usual_sizes() {
    let looked_at = std::env::var_os("DIETELL_DRAW_PAGES").is_some();
    for (name, step) in [
        ("compare", Step::Compare),
        ("standing", Step::Standing),
        ("sheet", Step::Sheet),
    ] {
        for (size, theme) in [
            ((1024.0, 700.0), Theme::Light),
            ((1280.0, 800.0), Theme::Dark),
            ((1920.0, 1080.0), Theme::Dark),
        ] {
            // The sheet takes long to lay out; its preview is the same at every size.
            if step == Step::Sheet && size.0 > 1100.0 && !looked_at {
                continue;
            }
            let mut window = window(step, record(), Default::default());
            window.settings.theme = theme;
            let mut harness = harness(window, size);
            if step == Step::Compare {
                harness.get_by_label("Agrees: two leaves").click();
                harness.run_ok();
            }
            let Some(image) = drawn(&mut harness) else { return };
            let first = image.get_pixel(0, 0);
            assert!(image.pixels().any(|p| p != first));
            keep(&image, &format!("{name}-{}", size.0));
        }
    }
}

#[test]
fn every_instrument_draws_something_of_its_own() {
    let mut window = window(Step::Compare, record(), Default::default());
    window.bench.as_mut().unwrap().feature.obverse = Some("stop".into());
    window.pages.compare.dials.changes_per_s = 0.0;
    let mut harness = harness(window, (1280.0, 800.0));
    let mut before: Vec<RgbaImage> = Vec::new();
    for look in ["Curtain", "Alternate", "Blend", "Edges", "Difference"] {
        harness.get_all_by_label(look).next().unwrap().click();
        harness.run_ok();
        let Some(image) = drawn(&mut harness) else { return };
        keep(&image, &format!("look-{look}"));
        let crop = harness
            .get_by_label_contains(&format!("{look} of your coin"))
            .rect();
        let inside = |image: &RgbaImage| {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "on the screen"
            )]
            let [x, y, w, h] = [
                crop.left() + 60.0,
                crop.top() + 60.0,
                crop.width() - 120.0,
                crop.height() - 120.0,
            ]
            .map(|v| v as u32);
            image::imageops::crop_imm(image, x, y, w, h).to_image()
        };
        let here = inside(&image);
        let first = here.get_pixel(0, 0);
        assert!(here.pixels().any(|p| p != first), "{look} is blank");
        assert!(before.iter().all(|b| *b != here), "{look} is like another");
        before.push(here);
    }
}
