//! The set workshop: sets are made, mended and shared by the window's own controls, from minted pictures alone. Work
//! runs inline; no display or graphics card is needed.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

#[path = "window_workshop/checks.rs"]
mod checks;
#[path = "window_workshop/driver.rs"]
mod driver;
#[path = "window_workshop/from_blank.rs"]
mod from_blank;
#[path = "window_workshop/growing.rs"]
mod growing;
#[path = "support/numbers.rs"]
mod numbers;
#[path = "window_workshop/rim.rs"]
mod rim;
#[path = "window_workshop/sharing.rs"]
mod sharing;
#[path = "window_workshop/zones.rs"]
mod zones;
