//! Functions short enough to read.

use super::left::LONG;
use super::rules::{Function, MOST_LINES, long_functions};
use super::{all_sources, planted};

fn is_listed(function: &Function) -> bool {
    LONG.iter()
        .any(|(path, name, _)| function.path == *path && function.name == *name)
}

#[test]
fn functions_are_short_enough_to_read() {
    let body = |lines: usize| format!("fn f(a: [u8; 4]) {{\n{}}}\n", "    g();\n".repeat(lines - 2));
    let at_most = planted("crop/cut.rs", &body(MOST_LINES));
    assert_eq!(long_functions(&at_most), []);
    let over = planted(
        "crop/cut.rs",
        &format!("fn g();\n{}fn h() {{}}\n", body(MOST_LINES + 1)),
    );
    let found = long_functions(&over);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!((found[0].name.as_str(), found[0].lines), ("f", MOST_LINES + 1));
    assert!(!is_listed(&found[0]));

    let found: Vec<Function> = all_sources().iter().flat_map(long_functions).collect();
    for (path, name, _) in LONG {
        let needed = found.iter().any(|f| f.path == *path && f.name == *name);
        assert!(needed, "{name} in {path} is short now: take it off the list");
    }
    let broken: Vec<String> = found
        .iter()
        .filter(|function| !is_listed(function))
        .map(|f| format!("src/{}: {} has {} lines; split it", f.path, f.name, f.lines))
        .collect();
    assert!(broken.is_empty(), "\n{}", broken.join("\n"));
}
