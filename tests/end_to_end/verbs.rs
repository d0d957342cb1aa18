//! The program's verbs, run in process.

use dietell::headless::Exit;
use serde_json::Value;

/// Runs a verb, word by word, and gives its exit code and report.
pub fn run(words: &[&str]) -> (Exit, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let exit = dietell::headless::run(words, &mut out, &mut err);
    assert!(
        err.is_empty() || exit != Exit::Done,
        "{}",
        String::from_utf8_lossy(&err)
    );
    (
        exit,
        String::from_utf8(out).unwrap() + &String::from_utf8(err).unwrap(),
    )
}

/// Runs a verb that must go well, for its JSON report.
pub fn report(words: &[&str]) -> Value {
    let (exit, text) = run(&[words, &["--json"]].concat());
    assert_eq!(exit, Exit::Done, "{words:?}: {text}");
    serde_json::from_str(&text).unwrap()
}

/// Runs a verb that must go well.
pub fn done(words: &[&str]) {
    let (exit, text) = run(words);
    assert_eq!(exit, Exit::Done, "{words:?}: {text}");
}
