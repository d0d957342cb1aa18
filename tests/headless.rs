//! The verbs without a window, from files to reports, on a small set of drawn pictures whose every value is known.
#![allow(clippy::unwrap_used, reason = "a test may stop at what it did not expect")]

#[path = "headless/bad_input.rs"]
mod bad_input;
#[path = "support/numbers.rs"]
mod numbers;
#[path = "headless/reports.rs"]
mod reports;
#[path = "headless/workshop.rs"]
mod workshop;
