//! Opening photos and cutting crops. `tests/scripts/bench_pictures.sh` makes the photos, runs this and OpenCV on them
//! with the same number of threads, and prints the ratios. RAYON_NUM_THREADS sets the threads.

use std::path::{Path, PathBuf};

use dietell::crop::{Kernel, cut_picture, even_light_pixels};
use dietell::photo::{Picture, ReadLimits, Watch, read_picture_file};
use divan::Bencher;
use image::RgbaImage;
use nalgebra::Matrix3;
use rayon::prelude::*;

fn main() {
    // With DIETELL_PEAK_OF=FILE: reads that file alone and prints the process's greatest memory, as Linux knows it.
    if let Some(file) = std::env::var_os("DIETELL_PEAK_OF") {
        let Some(picture) = open(Path::new(&file)) else {
            return;
        };
        let decoded = f64::from(picture.width()) * f64::from(picture.height()) * 3.0 / 1024.0;
        let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
        let peak = status
            .lines()
            .find_map(|line| {
                line.strip_prefix("VmHWM:")?
                    .trim()
                    .strip_suffix(" kB")?
                    .parse::<f64>()
                    .ok()
            })
            .unwrap_or(0.0);
        println!(
            "peak {:.1} MiB, {:.2} times the decoded photo",
            peak / 1024.0,
            peak / decoded
        );
        return;
    }
    divan::main();
}

/// Where the script put the photos.
fn photo(name: &str) -> Option<PathBuf> {
    let folder = std::env::var_os("DIETELL_BENCH_PHOTOS")?;
    Some(Path::new(&folder).join(name)).filter(|path| path.is_file())
}

fn open(path: &Path) -> Option<Picture> {
    read_picture_file(path, &ReadLimits::default(), &Watch::default()).ok()
}

#[divan::bench(args = ["photo_12mp.jpg", "photo_48mp.jpg"], sample_count = 9, sample_size = 1)]
fn open_photo(bencher: Bencher<'_, '_>, name: &str) {
    let Some(path) = photo(name) else { return };
    bencher.bench(|| open(&path));
}

/// As `crop_matrices` in tests/scripts/bench_opencv.py.
fn crop_matrices(width: f64, height: f64) -> Vec<Matrix3<f64>> {
    let (sin, cos) = 23f64.to_radians().sin_cos();
    let (a, b) = (0.9 * cos, 0.9 * sin);
    (0..12)
        .map(|i| {
            let cx = width * (0.3 + 0.13 * f64::from(i % 4));
            let cy = height * (0.3 + 0.2 * f64::from(i / 4));
            Matrix3::new(a, -b, cx, b, a, cy, 2e-5, -2e-5, 1.0)
        })
        .collect()
}

#[divan::bench(sample_count = 31, sample_size = 1)]
fn twelve_crops(bencher: Bencher<'_, '_>) {
    let Some(picture) = photo("photo_12mp.jpg").and_then(|path| open(&path)) else {
        return;
    };
    let matrices = crop_matrices(f64::from(picture.width()), f64::from(picture.height()));
    bencher.bench(|| {
        matrices
            .par_iter()
            .map(|m| cut_picture(&picture, m, 512, 512, Kernel::Cubic))
            .collect::<Vec<_>>()
    });
}

#[divan::bench(sample_count = 21, sample_size = 1)]
fn view_of_the_whole(bencher: Bencher<'_, '_>) {
    let Some(picture) = photo("photo_12mp.jpg").and_then(|path| open(&path)) else {
        return;
    };
    let step = f64::from(picture.width()) / 1200.0;
    let matrix = Matrix3::new(step, 0.0, 0.0, 0.0, step, 0.0, 0.0, 0.0, 1.0);
    bencher.bench(|| cut_picture(&picture, &matrix, 1200, 900, Kernel::Cubic));
}

#[divan::bench(sample_count = 31, sample_size = 1)]
fn even_the_light(bencher: Bencher<'_, '_>) {
    let Some(picture) = photo("photo_12mp.jpg").and_then(|path| open(&path)) else {
        return;
    };
    let crop: RgbaImage = cut_picture(
        &picture,
        &Matrix3::new(1.0, 0.0, 1500.0, 0.0, 1.0, 1000.0, 0.0, 0.0, 1.0),
        512,
        512,
        Kernel::Cubic,
    );
    bencher.bench(|| even_light_pixels(&crop, 24.0, 1.0));
}
