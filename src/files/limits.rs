//! The largest files that are read. Far above any honest one, low enough that a hostile one costs little.

/// The most bytes of a picture's file, photo or plate.
pub const MOST_PICTURE_BYTES: u64 = 400_000_000;
/// The most bytes of a picture's unpacked colour profile; those of printing presses take about 3 MB (from memory).
pub const MOST_PROFILE_BYTES: u64 = 16_000_000;
/// The most bytes of `set.ron`. A set of 200 dies a side with 24 features takes about 1 MB.
pub const MOST_SET_BYTES: u64 = 32_000_000;
/// The most bytes of `specimen.ron`. A record with a thousand verdicts takes about 1 MB.
pub const MOST_RECORD_BYTES: u64 = 16_000_000;
/// The most bytes of the settings.
pub const MOST_SETTINGS_BYTES: u64 = 1_000_000;
/// The most bytes of a table of landmarks: some hundred thousand rows.
pub const MOST_TABLE_BYTES: u64 = 10_000_000;
/// The most bytes of all files of a pack together, unpacked; below 4 GiB, so that a plain zip holds them.
pub const MOST_PACK_BYTES: u64 = 4_000_000_000;
/// The most files in a pack.
pub const MOST_PACK_FILES: usize = 20_000;
/// The most characters of a name.
pub const MOST_NAME_CHARACTERS: usize = 120;
/// The most dies, zones, features or landmarks of a side.
pub const MOST_PARTS: usize = 5_000;
/// The most pairings.
pub const MOST_PAIRINGS: usize = 50_000;
/// The most plates of one die.
pub const MOST_PLATES: usize = 100;
