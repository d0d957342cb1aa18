//! What a test needs of the system: a graphics driver, poppler. Where it is missing the test says that it skips; in CI,
//! which installs it (`.ci/run`), that is a failure.
#![allow(dead_code, reason = "each test binary uses a part")]

use std::process::Command;

/// Says that a test, or a part of it, skips for want of something.
///
/// # Panics
/// In CI (the environment's `CI` is `true`).
pub fn skip(what: &str) {
    assert!(
        !in_ci(),
        "{what}, and CI must not skip what needs it: see .ci/run"
    );
    println!("skipped: {what}");
}

/// Whether the tests run in CI.
fn in_ci() -> bool {
    std::env::var("CI").is_ok_and(|ci| ci == "true")
}

/// What a poppler tool prints; none, said aloud, where it is not installed.
///
/// # Panics
/// Where the tool refuses the file or finds anything to say about it (it mends a broken table and says so), and in CI
/// where it is not installed.
pub fn poppler(tool: &str, arguments: &[&str]) -> Option<Vec<u8>> {
    let Ok(output) = Command::new(tool).args(arguments).output() else {
        skip(&format!("{tool} (poppler-utils) is not installed"));
        return None;
    };
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{tool} refused the file: {said}");
    assert!(said.is_empty(), "{tool} said: {said}");
    Some(output.stdout)
}
