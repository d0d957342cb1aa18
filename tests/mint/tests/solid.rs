//! Solid coins: their truth against another renderer's rays and against the pictures themselves, and designs of every kind.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use dietell::geometry::{PicturePoint, SidePoint};
use image::RgbImage;
use mint::solid::{
    Chances, Design, Flan, FlanShape, Lamp, Lighting, Occasion, Struck, photograph_solid, truth,
};
use mint::{CameraOptions, Framing, StrikeOptions};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

#[path = "../../support/numbers.rs"]
mod numbers;

use numbers::{greatest, least};

/// The scenes that Mitsuba rendered, by folder: how each was chosen.
fn rendered() -> Vec<(PathBuf, Occasion)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../data/solid");
    let mut folders: Vec<PathBuf> = std::fs::read_dir(root)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.is_dir())
        .collect();
    folders.sort();
    let chosen = |folder: PathBuf| {
        let name = folder.file_name().unwrap().to_str().unwrap().to_owned();
        let numbers: Vec<u64> = name.split('-').map(|n| n.parse().unwrap()).collect();
        let design = Arc::new(Design::by_seed(numbers[0]));
        (folder, Occasion::by_chance(&design, 0, &small(), numbers[1]))
    };
    folders.into_iter().map(chosen).collect()
}

/// The bounds within which the committed scenes were chosen: `mint solid DESIGN OUT --seed SEED --size 800 600 --elevation
/// 15 75 --tilt 4 20 --scene FOLDER`.
fn small() -> Chances {
    Chances {
        size_px: (800, 600),
        elevation_deg: 15.0..75.0,
        tilt_deg: 4.0..20.0,
        ..Chances::default()
    }
}

/// Where each point of a table is: kind, name, and the position unless another part hides the point.
fn table(path: &Path) -> Vec<(String, String, Option<PicturePoint>)> {
    let text = std::fs::read_to_string(path).unwrap();
    let row = |line: &str| {
        let parts: Vec<&str> = line.rsplitn(3, ',').collect();
        let (what, name) = parts[2].split_once(',').unwrap();
        let at = (!parts[0].is_empty())
            .then(|| PicturePoint::new(parts[1].parse().unwrap(), parts[0].parse().unwrap()));
        (what.to_owned(), name.trim_matches('"').to_owned(), at)
    };
    text.lines().skip(1).map(row).collect()
}

/// Source: Mitsuba 3.9.1, whose rays know the mesh and the camera and nothing of the mint (`tests/scripts/render_solid.py`).
#[test]
fn another_renderer_sees_every_point_where_the_truth_says() {
    let mut off = Vec::new();
    for (folder, occasion) in rendered() {
        let truth = truth(&occasion.coin, &occasion.camera).unwrap();
        for (what, name, at) in table(&folder.join("mitsuba.csv")) {
            let Some(at) = at else { continue };
            let ours = match what.as_str() {
                "landmark" => truth.landmarks()[&name.as_str().into()],
                _ => truth.zones()[&name.as_str().into()].0,
            };
            off.push((ours - at).length());
        }
    }
    assert!(off.len() > 60, "{}", off.len());
    let worst = greatest(off);
    assert!(worst < 0.3, "{worst} px");
}

/// The mean brightness of a square of a picture.
fn grey(picture: &RgbImage, x: u32, y: u32) -> f64 {
    picture
        .get_pixel(x, y)
        .0
        .iter()
        .map(|v| f64::from(*v))
        .sum::<f64>()
        / 3.0
}

/// Where one picture's square is found again in another, to a fraction of a px: the greatest correlation of the edges'
/// strength, which two renderers share though their metals differ.
fn moved(a: &RgbImage, b: &RgbImage, at: PicturePoint) -> Option<(f64, f64)> {
    const HALF: i32 = 14;
    const REACH: i32 = 3;
    let edge = |p: &RgbImage, x: i32, y: i32| {
        let g = |dx: i32, dy: i32| grey(p, (x + dx) as u32, (y + dy) as u32);
        (g(1, 0) - g(-1, 0)).hypot(g(0, 1) - g(0, -1))
    };
    let (cx, cy) = (at.x.round() as i32, at.y.round() as i32);
    let room = HALF + REACH + 2;
    if cx < room || cy < room || cx + room >= a.width() as i32 || cy + room >= a.height() as i32 {
        return None;
    }
    let patch = |p: &RgbImage, sx: i32, sy: i32| -> Vec<f64> {
        let square = (-HALF..=HALF).flat_map(|y| (-HALF..=HALF).map(move |x| (x, y)));
        square.map(|(x, y)| edge(p, cx + x + sx, cy + y + sy)).collect()
    };
    let correlation = |u: &[f64], v: &[f64]| {
        let mean = |w: &[f64]| w.iter().sum::<f64>() / w.len() as f64;
        let (mu, mv) = (mean(u), mean(v));
        let (mut uv, mut uu, mut vv) = (0.0, 0.0, 0.0);
        for (p, q) in u.iter().zip(v) {
            uv += (p - mu) * (q - mv);
            uu += (p - mu).powi(2);
            vv += (q - mv).powi(2);
        }
        uv / (uu * vv).sqrt()
    };
    let own = patch(a, 0, 0);
    let score = |sx: i32, sy: i32| correlation(&own, &patch(b, sx, sy));
    let shifts = (-REACH..=REACH).flat_map(|y| (-REACH..=REACH).map(move |x| (x, y)));
    let (best, (sx, sy)) = shifts
        .map(|(x, y)| (score(x, y), (x, y)))
        .max_by(|p, q| p.0.total_cmp(&q.0))?;
    if best < 0.6 || sx.abs() == REACH || sy.abs() == REACH {
        return None;
    }
    let peak = |low: f64, high: f64| 0.5 * (low - high) / (low - 2.0 * best + high);
    Some((
        f64::from(sx) + peak(score(sx - 1, sy), score(sx + 1, sy)),
        f64::from(sy) + peak(score(sx, sy - 1), score(sx, sy + 1)),
    ))
}

/// Source: as above. The pictures themselves lie on each other, not the tables alone.
#[test]
fn the_pictures_of_both_renderers_lie_on_each_other() {
    let mut off = Vec::new();
    for (folder, occasion) in rendered() {
        let theirs = image::open(folder.join("picture.jpg")).unwrap().to_rgb8();
        let shot = occasion.shot().unwrap();
        for at in shot.truth.landmarks().values() {
            off.extend(moved(&shot.pixels, &theirs, *at));
        }
    }
    assert!(off.len() > 15, "{}", off.len());
    let median = |k: fn(&(f64, f64)) -> f64| {
        let mut values: Vec<f64> = off.iter().map(k).collect();
        values.sort_by(f64::total_cmp);
        values[values.len() / 2]
    };
    let (x, y, length) = (median(|o| o.0), median(|o| o.1), median(|o| o.0.hypot(o.1)));
    println!(
        "{} squares: {x:+.2} {y:+.2}, {length:.2} px in the median",
        off.len()
    );
    assert!(x.abs() < 0.3 && y.abs() < 0.3 && length < 0.6, "{x} {y} {length}");
}

#[test]
fn designs_by_seed_are_of_every_kind_and_fit_for_use() {
    let mut kinds = BTreeSet::new();
    let (mut radii, mut reliefs) = (Vec::new(), Vec::new());
    let (mut landmarks, mut zones) = (Vec::new(), Vec::new());
    for seed in 0..60 {
        let design = Design::by_seed(seed);
        assert_eq!(design.landmarks, Design::by_seed(seed).landmarks);
        let reach = f64::from(design.radius_mm);
        for (i, l) in design.landmarks.iter().enumerate() {
            assert!(l.place_mm.to_vector().length() < reach, "{seed} {l:?}");
            for other in &design.landmarks[..i] {
                assert!((l.place_mm - other.place_mm).length() >= 1.99, "{seed}");
                assert_ne!(l.name, other.name);
            }
        }
        radii.push(reach);
        reliefs.push(f64::from(design.relief_mm));
        landmarks.push(design.landmarks.len() as f64);
        zones.push(design.zones.len() as f64);
        let flan = Struck::by_chance(&Arc::new(design), 0, &StrikeOptions::as_struck(seed))
            .flan()
            .shape;
        kinds.insert(match flan {
            FlanShape::Round => 0,
            FlanShape::ClippedStraight { .. } => 1,
            FlanShape::ClippedRound { .. } => 2,
            FlanShape::Scalloped { .. } => 3,
            FlanShape::Squarish { .. } => 4,
        });
    }
    assert_eq!(kinds.len(), 5);
    assert!(greatest(radii.clone()) - least(radii) > 2.0);
    assert!(least(reliefs.clone()) < 0.13 && greatest(reliefs) > 0.32);
    assert!(least(landmarks) >= 6.0 && least(zones) >= 2.0);
}

/// A round flan with a plain design, straight under the camera or leaning.
fn coin(thickness_mm: f32) -> Struck {
    let design = Arc::new(Design::by_seed(3));
    let flan = Flan {
        shape: FlanShape::Round,
        radius_mm: design.radius_mm,
        middle: [0.0, 0.0],
        thickness_mm,
    };
    Struck::new(&design, 0, flan, &StrikeOptions::as_struck(5))
}

fn camera(tilt_deg: f64) -> CameraOptions {
    CameraOptions {
        size_px: (500, 500),
        framing: Framing::Fill(0.7),
        distance_mm: 250.0,
        tilt_deg,
        seed: 4,
        ..CameraOptions::default()
    }
}

#[test]
fn heights_move_in_the_picture_as_the_tangent_of_the_lean() {
    let truth = truth(&coin(1.5), &camera(15.0)).unwrap();
    let middle = SidePoint::new(0.0, 0.0);
    let scale = truth.at_height(0.0).unwrap().px_per_mm(middle);
    let moved = truth.position(middle, 0.3) - truth.position(middle, 0.0);
    // The coin's right leans away, so what stands up moves to the right. Perspective adds a thousandth.
    let along = 0.3 * 15.0_f64.to_radians().tan() * scale;
    assert!((moved.x - along).abs() < 0.05 * along, "{moved:?} {along}");
    assert!(moved.y.abs() < 1e-6);
    // A plane's transform says the same as the points of that plane.
    for p in [SidePoint::new(5.0, -3.0), SidePoint::new(-8.0, 4.0)] {
        let by_plane = truth.at_height(0.2).unwrap().point_in_picture(p);
        assert!((by_plane - truth.position(p, 0.2)).length() < 1e-9);
    }
}

#[test]
fn flanks_hide_what_lies_behind_them() {
    let seed = (0..)
        .find(|seed| Design::by_seed(*seed).relief_mm > 0.33)
        .unwrap();
    let design = Arc::new(Design::by_seed(seed));
    let high = Struck::by_chance(&design, 0, &StrikeOptions::as_struck(1));
    let near = |tilt_deg| CameraOptions {
        size_px: (1200, 1200),
        ..camera(tilt_deg)
    };
    let leaning = truth(&high, &near(58.0)).unwrap();
    let straight = truth(&high, &near(0.0)).unwrap();
    let inside: Vec<SidePoint> = (0..300)
        .map(|i| {
            let (sin, cos) = (0.61 * f64::from(i)).sin_cos();
            let r = 9.5 * (f64::from(i) / 300.0).sqrt();
            SidePoint::new(r * cos, r * sin)
        })
        .collect();
    let seen = |truth: &mint::solid::SolidTruth| inside.iter().filter(|p| truth.is_seen(**p)).count();
    assert!(seen(&straight) >= 298, "{}", seen(&straight));
    let some = seen(&leaning);
    assert!((150..295).contains(&some), "{some}");
}

/// The mean brightness of the table beside a coin, at a clock angle.
fn beside(picture: &RgbImage, truth: &mint::solid::SolidTruth, clock_deg: f64) -> f64 {
    let radius = f64::from(truth.coin().flan().radius_mm) + 1.2;
    let (sin, cos) = clock_deg.to_radians().sin_cos();
    let at = truth.position(SidePoint::new(radius * sin, -radius * cos), -1.5);
    grey(picture, at.x as u32, at.y as u32)
}

#[test]
fn a_low_lamp_casts_a_shadow_away_from_itself() {
    let lamp = |elevation_deg| Lighting {
        lamps: vec![Lamp {
            direction_deg: 90.0,
            elevation_deg,
            radius_deg: 2.0,
            radiance: [300.0; 3],
        }],
        room: [[0.05; 3]; 3],
    };
    let paper = CameraOptions {
        backdrop: mint::Backdrop::Paper,
        ..camera(0.0)
    };
    let low = photograph_solid(&coin(1.5), &paper, &lamp(20.0)).unwrap();
    let towards = beside(&low.pixels, &low.truth, 90.0);
    let away = beside(&low.pixels, &low.truth, 270.0);
    assert!(away < 0.6 * towards, "{away} {towards}");
    // 1.5 mm high at 70 degrees, the shadow is half a millimetre long and does not reach as far.
    let high = photograph_solid(&coin(1.5), &paper, &lamp(70.0)).unwrap();
    let away = beside(&high.pixels, &high.truth, 270.0);
    assert!(away > 0.8 * beside(&high.pixels, &high.truth, 90.0), "{away}");
}

#[test]
fn the_same_seed_makes_the_same_picture() {
    let design = Arc::new(Design::by_seed(9));
    let chances = Chances {
        size_px: (320, 240),
        ..Chances::default()
    };
    let take = |seed| {
        Occasion::by_chance(&design, 0, &chances, seed)
            .shot()
            .unwrap()
            .pixels
    };
    assert!(take(3) == take(3));
    assert!(take(3) != take(4));
    // The dies of a design differ, yet not where its landmarks are.
    let design = Arc::new(Design::by_seed(4));
    let dies = [0, 1].map(|die| {
        truth(
            &Struck::by_chance(&design, die, &StrikeOptions::as_struck(2)),
            &camera(0.0),
        )
        .unwrap()
    });
    let differ = |p: SidePoint| (dies[0].height_mm(p) - dies[1].height_mm(p)).abs();
    let grid =
        (0..6400).map(|i| SidePoint::new(f64::from(i % 80) * 0.25 - 10.0, f64::from(i / 80) * 0.25 - 10.0));
    assert!(greatest(grid.map(differ)) > 0.05);
    let mut r = ChaCha8Rng::seed_from_u64(1);
    assert_eq!(
        Lighting::by_chance(20.0..30.0, &mut r)
            .lamps
            .first()
            .map(|l| (20.0..30.0).contains(&l.elevation_deg)),
        Some(true)
    );
}
