//! Error of the rim on photos that nothing was learnt from, and photos to learn from.

use std::path::Path;

use rayon::prelude::*;

use super::numbers::greatest;
use super::rim_photos::{errors, photo};
use super::views::true_rim;

/// Error of the rim over so many photos.
pub fn table(count: usize) {
    let count = count as u64;
    let found: Vec<_> = (0..count)
        .map(|i| {
            let (picture, truth, label) = photo(20_000 + i, (1200, 900));
            (errors(&picture, &truth), label)
        })
        .collect();
    let mut worst: Vec<f64> = Vec::new();
    let (mut centres, mut radii) = (Vec::new(), Vec::new());
    for (outcome, label) in &found {
        match outcome {
            Ok((off, growth)) => {
                worst.push(greatest([*off, growth.abs()]));
                centres.push(*off);
                radii.push(growth.abs());
                if greatest([*off, growth.abs()]) > 0.01 {
                    println!("centre {off:.4} radius {growth:+.4}  {label}");
                }
            }
            Err(error) => println!("{error}  {label}"),
        }
    }
    let share = |limit: f64| worst.iter().filter(|e| **e <= limit).count() as f64 / found.len() as f64;
    let quantile = |values: &mut Vec<f64>, q: f64| {
        values.sort_by(f64::total_cmp);
        values[((values.len() - 1) as f64 * q) as usize]
    };
    println!(
        "{} photos, found {}; of all, centre and radius both within 0.5 % {:.3}, 1 % {:.3}, 2 % {:.3}",
        found.len(),
        worst.len(),
        share(0.005),
        share(0.01),
        share(0.02)
    );
    println!(
        "centre error, share of the radius: median {:.4}, 95 % {:.4}; radius error: median {:.4}, 95 % {:.4}",
        quantile(&mut centres, 0.5),
        quantile(&mut centres, 0.95),
        quantile(&mut radii, 0.5),
        quantile(&mut radii, 0.95)
    );
}

/// Writes photos with their true rims into a folder, from which `tests/scripts/learn_rim.py` learns; the seeds are not
/// those of the table or of the tests.
pub fn write_photos(count: usize, folder: &Path) {
    let count = count as u64;
    let lines: Vec<String> = (0..count)
        .into_par_iter()
        .map(|i| {
            let (picture, truth, label) = photo(40_000 + i, (1200, 900));
            picture.levels()[0].save(folder.join(format!("{i}.png"))).unwrap();
            let rim = true_rim(&truth);
            let line = format!(
                "{i} {} {} {} {} {} {label}\n",
                rim.centre.x, rim.centre.y, rim.long_px, rim.short_px, rim.turn_deg
            );
            std::fs::write(folder.join(format!("{i}.txt")), &line).unwrap();
            line
        })
        .collect();
    std::fs::write(folder.join("list.txt"), lines.concat()).unwrap();
}
