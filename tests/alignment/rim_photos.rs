//! Photos of minted coins at random, to find the rim on. For the tests and for the tables (`tests/benches/tables.rs`).

use dietell::align::{RimNotFound, find_rim};
use dietell::geometry::PictureFromSide;
use dietell::photo::Picture;
use dietell::reference::Side;
use mint::{
    Backdrop, CameraOptions, Framing, Light, LightKind, StrikeOptions, dies, photograph, strike_design,
};
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::views::true_rim;

/// A coin photographed at random: any die, wear up to 0.9, tilts up to 25 degrees, every backdrop and light; one in
/// eight may be cut off by the picture's edge.
pub fn photo(seed: u64, (width, height): (u32, u32)) -> (Picture, PictureFromSide, String) {
    let mut r = ChaCha8Rng::seed_from_u64(seed);
    let side = *Side::BOTH.choose(&mut r).unwrap();
    let designs = dies(side);
    let die = designs.choose(&mut r).unwrap();
    let strike = StrikeOptions {
        wear: r.random_range(0.0..0.9),
        marks: r.random_range(0.0..0.9),
        toning: r.random_range(0.0..0.8),
        dirt: r.random_range(0.0..0.9),
        weak_strike: r.random_range(0.0..0.3),
        seed: r.random_range(0..10_000),
    };
    let backdrops = [
        Backdrop::Studio,
        Backdrop::Wood,
        Backdrop::Cloth,
        Backdrop::Paper,
        Backdrop::Cluttered,
        Backdrop::LikeTheCoin,
    ];
    let kinds = [LightKind::Studio, LightKind::Window, LightKind::Lamp];
    let fill = r.random_range(0.4..0.93);
    let (w, h) = (f64::from(width), f64::from(height));
    let cut = if r.random_bool(0.125) { 0.1 * fill * h } else { 0.0 };
    let camera = CameraOptions {
        size_px: (width, height),
        framing: Framing::Fill(fill),
        offset_px: (
            r.random_range(-1.0..1.0) * (0.45 * (w - fill * h) + cut),
            r.random_range(-1.0..1.0) * (0.45 * h * (1.0 - fill) + cut),
        ),
        distance_mm: r.random_range(130.0..400.0),
        tilt_deg: if r.random_bool(0.3) {
            0.0
        } else {
            r.random_range(0.0..25.0)
        },
        tilt_direction_deg: r.random_range(0.0..360.0),
        turn_deg: r.random_range(-180.0..180.0),
        light: Light {
            direction_deg: r.random_range(-180.0..180.0),
            elevation_deg: r.random_range(30.0..75.0),
            kind: *kinds.choose(&mut r).unwrap(),
        },
        backdrop: *backdrops.choose(&mut r).unwrap(),
        defocus_px: r.random_range(0.0..2.0) * h / 900.0,
        noise: r.random_range(0.02..0.35),
        vignetting: r.random_range(0.0..0.4),
        exposure: r.random_range(0.7..1.25),
        seed,
        ..CameraOptions::default()
    };
    let label = format!(
        "{:?} {:?} wear {:.2} tilt {:.0}",
        camera.backdrop, camera.light.kind, strike.wear, camera.tilt_deg
    );
    let shot = photograph(&strike_design(die, &strike), &camera).unwrap();
    (Picture::new(shot.pixels), shot.truth, label)
}

/// Error of the centre and of the mean radius, as shares of the radius.
pub fn errors(picture: &Picture, truth: &PictureFromSide) -> Result<(f64, f64), RimNotFound> {
    let found = find_rim(picture)?.rim;
    let truth = true_rim(truth);
    let radius = (truth.long_px * truth.short_px).sqrt();
    let off = (found.centre - truth.centre).length() / radius;
    let growth = (found.long_px * found.short_px).sqrt() / radius - 1.0;
    Ok((off, growth))
}
