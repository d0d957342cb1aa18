//! Measurements of the alignment, the rim and the snap on pictures whose truth is known: they print tables and take
//! minutes. `cargo bench --bench tables` lists them.
#![allow(
    clippy::unwrap_used,
    reason = "a measurement that cannot go on says so by stopping"
)]

#[path = "../alignment/clicks.rs"]
mod clicks;
#[path = "../support/numbers.rs"]
mod numbers;
#[path = "../alignment/relief.rs"]
mod raised;
#[path = "tables/relief.rs"]
mod relief;
#[path = "../alignment/rim_photos.rs"]
mod rim_photos;
#[path = "tables/rims.rs"]
mod rims;
#[path = "tables/snaps.rs"]
mod snaps;
#[path = "tables/solid.rs"]
mod solid;
#[path = "tables/trials.rs"]
mod trials;
#[path = "../alignment/views.rs"]
mod views;

use std::path::Path;

const USAGE: &str = "cargo bench --bench tables -- NAME [COUNT], NAME one of
  coverage   coverage of the 95 % discs by landmarks, tilt and hand; COUNT trials each (10000)
  relief     coverage on relief in perspective by landmarks, tilt and known heights; COUNT coins each (600)
  bound      error of the fits against the Cramer-Rao bound; COUNT trials each (10000)
  rules      the rule that chooses the model against others; COUNT trials each (2000)
  rim        error of the rim on COUNT photos that nothing was learnt from (300)
  snap       landmarks clicked and snapped on COUNT coins of each wear and light (5)
  solid-coverage   coverage on coins of true relief of COUNT designs never developed with (40)
  solid-pictures [COUNT [FOLDER]]   landmarks snapped and rims found on COUNT photos of such coins (160), and on the
                   pictures that tests/scripts/render_solid.py made of the scenes in FOLDER
  solid-scenes FOLDER [COUNT]       COUNT scenes for that script (24)
  rim-photos FOLDER [COUNT]   COUNT photos with their true rims, for tests/scripts/learn_rim.py (800)";

fn main() {
    // Cargo adds `--bench`.
    let words: Vec<String> = std::env::args().skip(1).filter(|w| w != "--bench").collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let count = |at: usize, usual: usize| words.get(at).map_or(usual, |n| n.parse().expect(USAGE));
    match words.first() {
        Some(&"coverage") => trials::coverage(count(1, 10_000)),
        Some(&"relief") => relief::table(count(1, 600)),
        Some(&"bound") => trials::bound(count(1, 10_000)),
        Some(&"rules") => trials::rules_of_choice(count(1, 2_000)),
        Some(&"rim") => rims::table(count(1, 300)),
        Some(&"snap") => snaps::table(count(1, 5)),
        Some(&"solid-coverage") => solid::coverage(count(1, 40) as u64),
        Some(&"solid-pictures") => solid::pictures(count(1, 160) as u64, words.get(2).map(Path::new)),
        Some(&"solid-scenes") if words.len() > 1 => {
            solid::write_scenes(count(2, 24) as u64, Path::new(words[1]))
        }
        Some(&"rim-photos") if words.len() > 1 => rims::write_photos(count(2, 800), Path::new(words[1])),
        _ => println!("{USAGE}"),
    }
}
