//! Makes the demo's reference set, its plates and its phone photos, and single pictures to look at.

use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use clap::{Parser, Subcommand, ValueEnum};
use dietell::reference::{DieId, Side};
use mint::solid::{Chances, Design, Occasion, write_scene};
use mint::{
    Backdrop, CameraOptions, Framing, JpegOptions, Light, LightKind, MintError, StrikeOptions, photograph,
    plate, strike, write_demo, write_jpeg,
};

#[derive(Parser)]
#[command(name = "mint", about = "Makes the demo coinage in pictures.")]
struct Arguments {
    #[command(subcommand)]
    order: Order,
}

#[derive(Subcommand)]
enum Order {
    /// Writes the demo set and the demo's photos under a folder.
    Demo {
        /// The folder.
        #[arg(long, default_value = "reference")]
        out: PathBuf,
    },
    /// Writes the plate of one die.
    Plate {
        /// The die, such as O1 or R3.
        die: String,
        /// A .png or .jpg file.
        out: PathBuf,
        /// Width and height in px.
        #[arg(long, default_value_t = mint::PLATE_PX)]
        size: u32,
    },
    /// Takes one picture of a solid coin of a design by its seed, everything else chosen by a seed too.
    Solid {
        /// The design's seed.
        design: u64,
        /// A .png or .jpg file.
        out: PathBuf,
        /// The seed of coin, camera and light; without it the plate is taken.
        #[arg(long)]
        seed: Option<u64>,
        /// Which of its dies.
        #[arg(long, default_value_t = 0)]
        die: u64,
        /// Width and height of a photo in px.
        #[arg(long, num_args = 2, default_values_t = [1400, 1050])]
        size: Vec<u32>,
        /// The main lamp's elevation in degrees, from and to.
        #[arg(long, num_args = 2, default_values_t = [35.0, 70.0])]
        elevation: Vec<f64>,
        /// The lean in degrees, from and to.
        #[arg(long, num_args = 2, default_values_t = [0.0, 20.0])]
        tilt: Vec<f64>,
        /// Writes the scene for another renderer into this folder.
        #[arg(long)]
        scene: Option<PathBuf>,
    },
    /// Takes one picture of a coin of one die.
    Photo {
        /// The die, such as O1 or R3.
        die: String,
        /// A .png or .jpg file.
        out: PathBuf,
        /// Width of the picture in px.
        #[arg(long, default_value_t = 1600)]
        width: u32,
        /// Height of the picture in px.
        #[arg(long, default_value_t = 1200)]
        height: u32,
        /// The coin's diameter as a share of the shorter side.
        #[arg(long, default_value_t = 0.85)]
        fill: f64,
        /// Lean in degrees.
        #[arg(long, default_value_t = 0.0)]
        tilt: f64,
        /// Towards which edge it leans away, degrees clockwise from the right.
        #[arg(long, default_value_t = 0.0)]
        tilt_direction: f64,
        /// Turn in degrees.
        #[arg(long, default_value_t = 0.0, allow_hyphen_values = true)]
        turn: f64,
        /// Wear, 0 to 1.
        #[arg(long, default_value_t = 0.3)]
        wear: f64,
        /// Marks, 0 to 1.
        #[arg(long, default_value_t = 0.4)]
        marks: f64,
        /// Toning, 0 to 1.
        #[arg(long, default_value_t = 0.4)]
        toning: f64,
        /// Dirt, 0 to 1.
        #[arg(long, default_value_t = 0.6)]
        dirt: f64,
        /// Where the light comes from, degrees clockwise from the top.
        #[arg(long, default_value_t = -40.0, allow_hyphen_values = true)]
        light: f64,
        /// How high the light stands, in degrees.
        #[arg(long, default_value_t = 50.0)]
        elevation: f64,
        /// The kind of light.
        #[arg(long, value_enum, default_value_t = LampKind::Window)]
        kind: LampKind,
        /// What the coin lies on.
        #[arg(long, value_enum, default_value_t = Ground::Wood)]
        backdrop: Ground,
        /// Blur in px.
        #[arg(long, default_value_t = 0.6)]
        defocus: f64,
        /// Grain, 0 to 1.
        #[arg(long, default_value_t = 0.1)]
        noise: f64,
        /// The EXIF turn flag of a .jpg.
        #[arg(long, default_value_t = 1)]
        turn_flag: u8,
        /// The seed of everything random.
        #[arg(long, default_value_t = 1)]
        seed: u64,
    },
}

#[derive(Clone, Copy, ValueEnum)]
enum LampKind {
    Studio,
    Window,
    Bulb,
}

#[derive(Clone, Copy, ValueEnum)]
enum Ground {
    Studio,
    Wood,
    Cloth,
    Paper,
    Cluttered,
    LikeTheCoin,
}

fn main() -> ExitCode {
    match run(Arguments::parse().order) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}

fn run(order: Order) -> Result<(), MintError> {
    match order {
        Order::Demo { out } => write_demo(&out),
        Order::Plate { die, out, size } => save(&plate(side_of(&die), &DieId(die), size)?.pixels, &out, 1),
        Order::Solid {
            design,
            out,
            seed,
            die,
            size,
            elevation,
            tilt,
            scene,
        } => {
            let design = Arc::new(Design::by_seed(design));
            let chances = Chances {
                size_px: (size[0], size[1]),
                elevation_deg: elevation[0]..elevation[1],
                tilt_deg: tilt[0]..tilt[1],
                ..Chances::default()
            };
            let occasion = match seed {
                Some(seed) => Occasion::by_chance(&design, die, &chances, seed),
                None => Occasion::plate(&design, die, mint::PLATE_PX),
            };
            if let Some(folder) = scene {
                write_scene(&occasion, &folder)?;
            }
            save(&occasion.shot()?.pixels, &out, 1)
        }
        Order::Photo {
            die,
            out,
            width,
            height,
            fill,
            tilt,
            tilt_direction,
            turn,
            wear,
            marks,
            toning,
            dirt,
            light,
            elevation,
            kind,
            backdrop,
            defocus,
            noise,
            turn_flag,
            seed,
        } => {
            let options = StrikeOptions {
                wear,
                marks,
                toning,
                dirt,
                weak_strike: 0.0,
                seed,
            };
            let kind = match kind {
                LampKind::Studio => LightKind::Studio,
                LampKind::Window => LightKind::Window,
                LampKind::Bulb => LightKind::Lamp,
            };
            let backdrop = match backdrop {
                Ground::Studio => Backdrop::Studio,
                Ground::Wood => Backdrop::Wood,
                Ground::Cloth => Backdrop::Cloth,
                Ground::Paper => Backdrop::Paper,
                Ground::Cluttered => Backdrop::Cluttered,
                Ground::LikeTheCoin => Backdrop::LikeTheCoin,
            };
            let camera = CameraOptions {
                size_px: (width, height),
                framing: Framing::Fill(fill),
                distance_mm: 180.0,
                tilt_deg: tilt,
                tilt_direction_deg: tilt_direction,
                turn_deg: turn,
                light: Light {
                    direction_deg: light,
                    elevation_deg: elevation,
                    kind,
                },
                backdrop,
                defocus_px: defocus,
                noise,
                vignetting: 0.3,
                seed,
                ..CameraOptions::default()
            };
            let coin = strike(side_of(&die), &DieId(die), &options)?;
            save(&photograph(&coin, &camera)?.pixels, &out, turn_flag)
        }
    }
}

/// The side that a die's name tells: R for a reverse.
fn side_of(die: &str) -> Side {
    if die.starts_with(['R', 'r']) {
        Side::Reverse
    } else {
        Side::Obverse
    }
}

fn save(picture: &image::RgbImage, out: &std::path::Path, turn_flag: u8) -> Result<(), MintError> {
    if out.extension().is_some_and(|e| e == "png") {
        let refused = |e: image::ImageError| MintError::Writing {
            path: out.to_owned(),
            why: e.to_string(),
        };
        return picture.save(out).map_err(refused);
    }
    write_jpeg(
        picture,
        out,
        &JpegOptions {
            turn_flag,
            ..JpegOptions::default()
        },
    )
}
