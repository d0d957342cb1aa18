//! Coins of true relief, of designs that nothing was developed with: coverage of the 95 % discs, snapped landmarks and the
//! rim, by what the photo is like; on the mint's own pictures and on those that another renderer made of its scenes.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use dietell::align::{Marked, Rim, align, find_rim, snap};
use dietell::geometry::{Correspondence, Model, PicturePoint, PictureVector, SidePoint, fit};
use dietell::photo::Picture;
use dietell::reference::{Landmark, LandmarkName, Measures, blank_set};
use mint::solid::{Chances, Design, Occasion, SolidTruth, truth, write_scene};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;
use rayon::prelude::*;

use super::clicks::{DISC_95, WRONG_PX, quantile};

/// The first seed of the tables' designs. Development uses those below it.
const UNSEEN: u64 = 1_000_000;

/// How far off a landmark is placed by hand, each way, in px.
const HAND_PX: f64 = 1.5;
/// How far off a rough click is that is then snapped, each way, in px.
const ROUGH_PX: f64 = 4.0;

/// Bands of the lean, in degrees.
const TILTS: [(f64, f64); 4] = [(0.0, 4.0), (4.0, 8.0), (8.0, 12.0), (12.0, 20.0)];
/// Bands of the main lamp's elevation, in degrees.
const LAMPS: [(f64, f64); 4] = [(10.0, 20.0), (20.0, 35.0), (35.0, 55.0), (55.0, 80.0)];

fn shaky(r: &mut ChaCha8Rng, deviation: f64) -> PictureVector {
    let mut off = || deviation * r.sample::<f64, _>(StandardNormal);
    PictureVector::new(off(), off())
}

fn band(value: f64, bands: &[(f64, f64)]) -> String {
    let found = bands.iter().find(|(from, to)| (*from..*to).contains(&value));
    found.map_or("other".into(), |(from, to)| format!("{from:2.0} to {to:2.0}"))
}

/// How many zones lay in their discs, and the discs' radii.
#[derive(Default)]
struct Held {
    surface: (usize, usize),
    field: (usize, usize),
    flat: (usize, usize),
    radii_mm: Vec<f64>,
}

impl Held {
    fn add(&mut self, other: Self) {
        for (to, from) in [
            (&mut self.surface, other.surface),
            (&mut self.field, other.field),
            (&mut self.flat, other.flat),
        ] {
            to.0 += from.0;
            to.1 += from.1;
        }
        self.radii_mm.extend(other.radii_mm);
    }
}

/// Coverage of the 95 % discs at the zones, by landmarks and tilt, over so many designs.
pub fn coverage(designs: u64) {
    const COUNTS: [usize; 4] = [3, 4, 6, 10];
    const COINS: u64 = 2;
    const VIEWS: u64 = 12;
    let parts: Vec<BTreeMap<(usize, String), Held>> = (0..designs * COINS)
        .into_par_iter()
        .map(|i| {
            let mut found: BTreeMap<(usize, String), Held> = BTreeMap::new();
            let design = Arc::new(Design::by_seed(UNSEEN + i / COINS));
            let first = Occasion::by_chance(&design, i % COINS, &Chances::default(), UNSEEN + i);
            let mut r = ChaCha8Rng::seed_from_u64(i);
            for view in 0..VIEWS {
                for (from, to) in TILTS {
                    let chances = Chances {
                        tilt_deg: from..to,
                        fill: 0.8..0.9,
                        ..Chances::default()
                    };
                    let mut occasion = Occasion::by_chance(
                        &design,
                        i % COINS,
                        &chances,
                        UNSEEN + 97 * i + view + (from * 1e4) as u64,
                    );
                    // The same coin, so that its solid form is made once.
                    occasion.coin = first.coin.clone();
                    let Ok(truth) = truth(&occasion.coin, &occasion.camera) else {
                        continue;
                    };
                    for count in COUNTS {
                        let held = held(&truth, count, &mut r);
                        found.entry((count, band(from, &TILTS))).or_default().add(held);
                    }
                }
            }
            found
        })
        .collect();
    let mut all: BTreeMap<(usize, String), Held> = BTreeMap::new();
    for (key, held) in parts.into_iter().flatten() {
        all.entry((key.0, "all".into())).or_default().add(Held {
            radii_mm: held.radii_mm.clone(),
            ..held
        });
        all.entry(key).or_default().add(held);
    }
    println!(
        "share of zones inside the 95 % disc; {designs} designs from seed {UNSEEN}, clicks of {HAND_PX} px"
    );
    println!(
        "landmarks  tilt, degrees   at the surface   at the field   had the relief been flat   median radius, mm"
    );
    for ((count, tilt), mut held) in all {
        let share = |(inside, of): (usize, usize)| inside as f64 / of as f64;
        println!(
            "{count:9}  {tilt:13}   {:14.3}   {:12.3}   {:24.3}   {:17.3}",
            share(held.surface),
            share(held.field),
            share(held.flat),
            quantile(&mut held.radii_mm, 0.5)
        );
    }
}

/// One alignment by so many landmarks at the surface, and the same clicks on flat relief.
fn held(truth: &SolidTruth, count: usize, r: &mut ChaCha8Rng) -> Held {
    let design = truth.coin().design();
    let landmarks: Vec<Landmark> = design.landmarks.iter().take(count).cloned().collect();
    let zones = &design.zones;
    let centres: Vec<SidePoint> = zones.iter().map(|z| z.centre_mm).collect();
    let mut held = Held::default();
    if landmarks.len() < count {
        return held;
    }
    let shakes: Vec<PictureVector> = landmarks.iter().map(|_| shaky(r, HAND_PX)).collect();
    let placed = |at: &dyn Fn(SidePoint) -> PicturePoint| -> BTreeMap<LandmarkName, PicturePoint> {
        let each = landmarks.iter().zip(&shakes);
        each.map(|(l, shake)| (l.name.clone(), at(l.place_mm) + *shake))
            .collect()
    };
    let measures = Measures {
        diameter_mm: 2.0 * f64::from(design.radius_mm),
        ..blank_set("A design").measures
    };
    let surface = |p| truth.at_surface(p);
    let flat = |p| truth.position(p, 0.0);
    if let Ok(found) = align(&landmarks, &measures, Marked::from(&placed(&surface)), &centres) {
        for zone in zones {
            let radius = found.zone_uncertainty(zone).radius95_mm;
            let transform = found.zone_transform(zone);
            let inside = |at: PicturePoint| (transform.point_on_side(at) - zone.centre_mm).length() <= radius;
            held.surface.0 += usize::from(inside(truth.at_surface(zone.centre_mm)));
            held.field.0 += usize::from(inside(truth.at_field(zone.centre_mm)));
            held.radii_mm.push(radius);
        }
        held.surface.1 += zones.len();
        held.field.1 += zones.len();
    }
    if let Ok(found) = align(&landmarks, &measures, Marked::from(&placed(&flat)), &centres) {
        for zone in zones {
            let off = found.zone_transform(zone).point_on_side(flat(zone.centre_mm)) - zone.centre_mm;
            held.flat.0 += usize::from(off.length() <= found.zone_uncertainty(zone).radius95_mm);
        }
        held.flat.1 += zones.len();
    }
    held
}

/// A picture, whoever rendered it, with what is true of it.
struct Photo {
    picture: Picture,
    design: u64,
    landmarks: BTreeMap<LandmarkName, PicturePoint>,
    rim: Option<Rim>,
    elevation_deg: f64,
    /// Its ground, and whether the flan is round and on the middle.
    ground: String,
    flan: &'static str,
}

/// The number of designs of photos: each has several.
const PHOTOS_A_DESIGN: u64 = 4;

fn occasion(i: u64, size_px: (u32, u32)) -> Occasion {
    let design = Arc::new(Design::by_seed(UNSEEN + 5_000 + i / PHOTOS_A_DESIGN));
    let (from, to) = LAMPS[(i % PHOTOS_A_DESIGN) as usize];
    let chances = Chances {
        size_px,
        fill: 0.75..0.92,
        tilt_deg: 0.0..14.0,
        elevation_deg: from..to,
        ..Chances::default()
    };
    Occasion::by_chance(&design, 1, &chances, UNSEEN + 700 + i)
}

fn flan_kind(occasion: &Occasion) -> &'static str {
    let flan = occasion.coin.flan();
    match (flan.is_round(), flan.middle[0].hypot(flan.middle[1]) > 0.0) {
        (false, _) => "shaped",
        (true, true) => "round, off the middle",
        (true, false) => "round",
    }
}

/// The mint's own photos.
fn minted(count: u64) -> impl ParallelIterator<Item = Photo> {
    (0..count).into_par_iter().filter_map(|i| {
        let occasion = occasion(i, (1400, 1050));
        let shot = occasion.shot().ok()?;
        Some(Photo {
            picture: Picture::new(shot.pixels),
            design: occasion.coin.design().seed,
            landmarks: shot.truth.landmarks(),
            rim: shot.truth.rim(),
            elevation_deg: occasion.lighting.lamps.first()?.elevation_deg,
            ground: format!("{:?}", occasion.camera.backdrop),
            flan: flan_kind(&occasion),
        })
    })
}

/// Writes scenes of the tables' photos for another renderer (`tests/scripts/render_solid.py`), smaller ones.
pub fn write_scenes(count: u64, folder: &Path) {
    (0..count).into_par_iter().for_each(|i| {
        let into = folder.join(format!("{i:03}"));
        std::fs::create_dir_all(&into).unwrap();
        write_scene(&occasion(i, (900, 700)), &into).unwrap();
    });
}

/// The photos that another renderer made of scenes in a folder.
fn rendered(folder: &Path) -> Vec<Photo> {
    let mut scenes: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    scenes.sort();
    let photos = scenes.iter().filter_map(|scene| {
        let picture = image::open(scene.join("picture.jpg")).ok()?.to_rgb8();
        let text = std::fs::read_to_string(scene.join("scene.json")).ok()?;
        let told: serde_json::Value = serde_json::from_str(&text).ok()?;
        let index: u64 = scene.file_name()?.to_str()?.parse().ok()?;
        let mut landmarks = BTreeMap::new();
        let mut rows = csv::Reader::from_path(scene.join("mitsuba.csv")).ok()?;
        for row in rows.deserialize::<(String, String, Option<f64>, Option<f64>)>() {
            let (what, name, x, y) = row.ok()?;
            if let (true, Some(x), Some(y)) = (what == "landmark", x, y) {
                landmarks.insert(name.as_str().into(), PicturePoint::new(x, y));
            }
        }
        let rim = told["rim"].as_array().map(|v| {
            let number = |k: usize| v[k].as_f64().unwrap();
            Rim {
                centre: PicturePoint::new(number(0), number(1)),
                long_px: number(2),
                short_px: number(3),
                turn_deg: number(4),
                by_hand: false,
            }
        });
        Some(Photo {
            picture: Picture::new(picture),
            design: told["design"].as_u64()?,
            landmarks,
            rim,
            elevation_deg: told["elevation_deg"].as_f64()?,
            ground: told["backdrop"].as_str()?.to_owned(),
            flan: flan_kind(&occasion(index, (900, 700))),
        })
    });
    photos.collect()
}

/// One rough click that was snapped: error and predicted deviation in px; none where it was refused.
type Snapped = Option<(f64, f64)>;

/// Every landmark clicked roughly and snapped to the plate of another die.
fn snapped(photo: &Photo) -> Vec<Snapped> {
    let design = Arc::new(Design::by_seed(photo.design));
    let plate = Occasion::plate(&design, 0, 1300).shot().unwrap();
    let on_plate = plate.truth.landmarks();
    let known_points = |at: &BTreeMap<LandmarkName, PicturePoint>| -> Vec<Correspondence> {
        let all = design.landmarks.iter();
        all.filter_map(|l| {
            Some(Correspondence {
                on_side: l.place_mm,
                in_picture: *at.get(&l.name)?,
            })
        })
        .collect()
    };
    let plate_from_side = fit(Model::Homography, &known_points(&on_plate))
        .unwrap()
        .picture_from_side;
    let picture = Picture::new(plate.pixels);
    let points = known_points(&photo.landmarks);
    // What is known at first: a similarity by two landmarks far apart.
    let Ok(known) = fit(Model::Similarity, &points[..points.len().min(2)]) else {
        return Vec::new();
    };
    let mut r = ChaCha8Rng::seed_from_u64(photo.design);
    let clicks = design
        .landmarks
        .iter()
        .filter_map(|l| Some((l, *photo.landmarks.get(&l.name)?)));
    clicks
        .map(|(l, truth)| {
            let click = truth + shaky(&mut r, ROUGH_PX);
            snap(
                &photo.picture,
                &known.picture_from_side,
                &picture,
                &plate_from_side,
                l.place_mm,
                click,
                0.5,
            )
            .ok()
            .map(|s| ((s.to - truth).length(), s.deviation_px))
        })
        .collect()
}

/// The rim's error: centre and mean radius as shares of the radius; none where it was refused.
fn rim_error(photo: &Photo) -> Option<Option<(f64, f64)>> {
    let truth = photo.rim.as_ref()?;
    let radius = (truth.long_px * truth.short_px).sqrt();
    Some(find_rim(&photo.picture).ok().map(|found| {
        let rim = found.rim;
        (
            (rim.centre - truth.centre).length() / radius,
            (rim.long_px * rim.short_px).sqrt() / radius - 1.0,
        )
    }))
}

/// Snapped landmarks by the lamp's elevation, and the rim by flan, light and ground: on so many photos of the mint, and on
/// all that another renderer made of scenes in a folder.
pub fn pictures(count: u64, folder: Option<&Path>) {
    let measure = |photo: Photo| {
        let lamp = band(photo.elevation_deg, &LAMPS);
        (
            lamp,
            photo.flan,
            photo.ground.clone(),
            snapped(&photo),
            rim_error(&photo),
        )
    };
    let own: Vec<_> = minted(count).map(measure).collect();
    print_tables("the mint's photos", &own);
    if let Some(folder) = folder {
        let other: Vec<_> = rendered(folder).into_par_iter().map(measure).collect();
        print_tables("photos of another renderer", &other);
    }
}

type Measured = (
    String,
    &'static str,
    String,
    Vec<Snapped>,
    Option<Option<(f64, f64)>>,
);

fn print_tables(title: &str, all: &[Measured]) {
    println!("{title}: {} of designs from seed {}", all.len(), UNSEEN + 5_000);
    let mut snaps: BTreeMap<&str, Vec<Snapped>> = BTreeMap::new();
    let mut rims: BTreeMap<String, Vec<Option<(f64, f64)>>> = BTreeMap::new();
    for (lamp, flan, ground, snapped, rim) in all {
        snaps.entry(lamp).or_default().extend(snapped);
        snaps.entry("all").or_default().extend(snapped);
        if let Some(rim) = rim {
            for key in [
                format!("lamp {lamp}"),
                format!("flan {flan}"),
                format!("ground {ground}"),
                "all".into(),
            ] {
                rims.entry(key).or_default().push(*rim);
            }
        }
    }
    println!("rough clicks snapped, by the main lamp's elevation in degrees; wrong is beyond {WRONG_PX} px");
    for (lamp, found) in snaps {
        let accepted: Vec<(f64, f64)> = found.iter().flatten().copied().collect();
        let mut errors: Vec<f64> = accepted.iter().map(|a| a.0).collect();
        let share = |holds: &dyn Fn(&(f64, f64)) -> bool| {
            accepted.iter().filter(|a| holds(a)).count() as f64 / accepted.len() as f64
        };
        println!(
            "{lamp:9} {:4} clicks: accepted {:.3}; of these wrong {:.3}, in their own 95 % disc {:.3}; median {:.2} px, 95 % {:.2} px",
            found.len(),
            accepted.len() as f64 / found.len() as f64,
            share(&|a| a.0 > WRONG_PX),
            share(&|a| a.0 < DISC_95 * a.1),
            quantile(&mut errors, 0.5),
            quantile(&mut errors, 0.95),
        );
    }
    println!("rims of round flans; within: centre and mean radius both, as shares of the radius");
    for (key, found) in rims {
        let known: Vec<(f64, f64)> = found.iter().flatten().copied().collect();
        let within = |limit: f64| {
            let right = known
                .iter()
                .filter(|(off, growth)| *off <= limit && growth.abs() <= limit);
            right.count() as f64 / found.len() as f64
        };
        let wrong = known
            .iter()
            .filter(|(off, growth)| !(*off <= 0.02 && growth.abs() <= 0.02));
        let mut growths: Vec<f64> = known.iter().map(|k| k.1).collect();
        println!(
            "{key:28} {:4}: refused {:.3}; within 0.5 % {:.3}, 1 % {:.3}, 2 % {:.3}; wrong by more {}; radius {:+.4} in the median",
            found.len(),
            1.0 - known.len() as f64 / found.len() as f64,
            within(0.005),
            within(0.01),
            within(0.02),
            wrong.count(),
            quantile(&mut growths, 0.5),
        );
    }
}
