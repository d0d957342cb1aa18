//! Makes the demo set, the demo coins' photos and pictures for tests.
fn main() {}
