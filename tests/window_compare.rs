//! The Compare, Standing and Sheet pages, by their controls' accessible names. Work runs inline and nothing here needs
//! a display or a graphics card, but for `window_compare/pictures.rs`, which says that it skips where there is none
//! (in CI that is a failure).

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

#[path = "support/absent.rs"]
mod absent;
#[path = "window_compare/compare.rs"]
mod compare;
#[path = "window_compare/facts_and_standing.rs"]
mod facts_and_standing;
#[path = "window_compare/pictures.rs"]
mod pictures;
#[path = "window_compare/sheet.rs"]
mod sheet;
#[path = "window_compare/synthetic.rs"]
mod synthetic;
#[path = "window_compare/two_coins.rs"]
mod two_coins;
