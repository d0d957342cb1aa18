//! Writes the demo: the reference set with its plates, and the phone photos of two coins with their truth.

use std::path::Path;

use super::MintError;
use super::backdrop::Backdrop;
use super::camera::{CameraOptions, Framing, Shot, photograph};
use super::coin::{StrikeOptions, strike};
use super::die::dies;
use super::jpeg::{JpegOptions, write_jpeg};
use super::landmarks::landmarks;
use super::light::{Light, LightKind};
use super::plates::{PLATE_PX, plate, plate_file};
use super::set::demo_set;
use dietell::reference::{DieId, SET_FILE, Side, write_set};

/// One phone photo of a demo coin: how the side was struck and how it was taken.
#[derive(Debug, Clone)]
pub struct DemoCoin {
    /// The name of its file, without folder.
    pub file: String,
    /// The side.
    pub side: Side,
    /// The die.
    pub die: DieId,
    /// What became of the coin.
    pub strike: StrikeOptions,
    /// How it was taken.
    pub camera: CameraOptions,
    /// How it is stored.
    pub jpeg: JpegOptions,
}

impl DemoCoin {
    /// Takes the photo.
    ///
    /// # Errors
    /// [`MintError`] as [`strike`] and [`photograph`].
    pub fn shot(&self) -> Result<Shot, MintError> {
        photograph(&strike(self.side, &self.die, &self.strike)?, &self.camera)
    }
}

/// The phone photos of the demo's coins: a circulated one of a scarce pairing (O4 with R3), and a well worn one of
/// the pairing that hides among common coins (O3 with R2).
#[must_use]
pub fn demo_coins() -> Vec<DemoCoin> {
    let phone = CameraOptions {
        size_px: (4032, 3024),
        framing: Framing::Fill(0.80),
        distance_mm: 170.0,
        defocus_px: 1.3,
        noise: 0.22,
        vignetting: 0.35,
        ..CameraOptions::default()
    };
    let light = |direction_deg, elevation_deg, kind| Light {
        direction_deg,
        elevation_deg,
        kind,
    };
    let jpeg = |turn_flag| JpegOptions {
        quality: 80,
        turn_flag,
        icc_profile: None,
    };
    vec![
        DemoCoin {
            file: "circulated-obverse.jpg".to_owned(),
            side: Side::Obverse,
            die: DieId::from("O4"),
            strike: StrikeOptions::circulated(41),
            camera: CameraOptions {
                tilt_deg: 9.0,
                tilt_direction_deg: 250.0,
                turn_deg: -11.0,
                offset_px: (60.0, -40.0),
                light: light(-55.0, 46.0, LightKind::Window),
                backdrop: Backdrop::Wood,
                seed: 412,
                ..phone
            },
            jpeg: jpeg(1),
        },
        DemoCoin {
            file: "circulated-reverse.jpg".to_owned(),
            side: Side::Reverse,
            die: DieId::from("R3"),
            strike: StrikeOptions::circulated(42),
            camera: CameraOptions {
                size_px: (3024, 4032),
                tilt_deg: 13.0,
                tilt_direction_deg: 300.0,
                turn_deg: 17.0,
                offset_px: (-50.0, 150.0),
                light: light(-30.0, 48.0, LightKind::Window),
                backdrop: Backdrop::Wood,
                seed: 413,
                ..phone
            },
            jpeg: jpeg(6),
        },
        DemoCoin {
            file: "worn-obverse.jpg".to_owned(),
            side: Side::Obverse,
            die: DieId::from("O3"),
            strike: StrikeOptions::well_worn(51),
            camera: CameraOptions {
                tilt_deg: 6.0,
                tilt_direction_deg: 40.0,
                turn_deg: 24.0,
                light: light(35.0, 50.0, LightKind::Window),
                backdrop: Backdrop::Cloth,
                seed: 414,
                ..phone
            },
            jpeg: jpeg(1),
        },
        DemoCoin {
            file: "worn-reverse.jpg".to_owned(),
            side: Side::Reverse,
            die: DieId::from("R2"),
            strike: StrikeOptions::well_worn(52),
            camera: CameraOptions {
                tilt_deg: 8.0,
                tilt_direction_deg: 120.0,
                turn_deg: -7.0,
                light: light(-20.0, 50.0, LightKind::Window),
                backdrop: Backdrop::Cloth,
                seed: 415,
                ..phone
            },
            jpeg: jpeg(1),
        },
    ]
}

/// Writes the demo under `folder`: `demo/set.ron`, `demo/plates/`, and `demo-coins/` with the truth of its landmarks.
///
/// # Errors
/// [`MintError`] where a file cannot be made or written.
pub fn write_demo(folder: &Path) -> Result<(), MintError> {
    write_demo_set(folder)?;
    let demo = folder.join("demo");
    for side in Side::BOTH {
        for die in dies(side) {
            let shot = plate(side, &die.id, PLATE_PX)?;
            let options = JpegOptions {
                quality: 88,
                ..JpegOptions::default()
            };
            write_jpeg(&shot.pixels, &demo.join(plate_file(side, &die.id)), &options)?;
        }
    }
    for coin in demo_coins() {
        let shot = coin.shot()?;
        write_jpeg(
            &shot.pixels,
            &folder.join("demo-coins").join(&coin.file),
            &coin.jpeg,
        )?;
    }
    Ok(())
}

/// Writes the demo's texts only: `demo/set.ron` and the true landmarks of the demo coins.
///
/// # Errors
/// [`MintError`] where a file cannot be made or written.
pub fn write_demo_set(folder: &Path) -> Result<(), MintError> {
    let demo = folder.join("demo");
    let coins = folder.join("demo-coins");
    for path in [&demo.join("plates"), &coins] {
        std::fs::create_dir_all(path).map_err(|e| MintError::Writing {
            path: path.clone(),
            why: e.to_string(),
        })?;
    }
    let text = write_set(&demo_set()).map_err(|e| MintError::Encoding { why: e.to_string() })?;
    write(&demo.join(SET_FILE), &text)?;
    for name in ["circulated", "worn"] {
        let mut rows = String::from("side,name,x_px,y_px\n");
        for coin in demo_coins().iter().filter(|c| c.file.starts_with(name)) {
            let truth = coin.camera.truth()?;
            for landmark in landmarks(coin.side) {
                let p = truth.point_in_picture(landmark.place_mm);
                rows += &format!(
                    "{},\"{}\",{:.2},{:.2}\n",
                    coin.side.word(),
                    landmark.name,
                    p.x,
                    p.y
                );
            }
        }
        write(&coins.join(format!("{name}-landmarks.csv")), &rows)?;
    }
    Ok(())
}

fn write(path: &Path, text: &str) -> Result<(), MintError> {
    std::fs::write(path, text).map_err(|e| MintError::Writing {
        path: path.to_owned(),
        why: e.to_string(),
    })
}
