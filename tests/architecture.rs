//! Reads the sources and fails when a room uses one downstream of it, when a pure room draws, or when what must never
//! be in the program creeps in. Each rule is first shown to catch a planted breach.
#![allow(clippy::unwrap_used, reason = "a test may stop at what it did not expect")]

#[path = "architecture/circles.rs"]
mod circles;
#[path = "architecture/imports.rs"]
mod imports;
#[path = "architecture/left.rs"]
mod left;
#[path = "architecture/lengths.rs"]
mod lengths;
#[path = "support/numbers.rs"]
mod numbers;
#[path = "architecture/rules.rs"]
mod rules;
#[path = "architecture/source.rs"]
mod source;

use std::path::Path;

use numbers::{greatest, least};
use rules::{Breach, drawing, drops_nan, giving_up, unsafe_code, upstream};
use source::{Source, rooms, sources};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The sources of the program and of the mint, which keeps the same rules.
fn all_sources() -> Vec<Source> {
    let mut all = sources(&root().join("src"));
    assert!(all.len() > 50, "only {} sources found", all.len());
    let mint = sources(&root().join("tests/mint/src"));
    assert!(mint.len() > 10, "only {} sources of the mint found", mint.len());
    all.extend(mint.into_iter().map(|source| source.under("../tests/mint/src")));
    all
}

fn holds(rule: impl Fn(&Source) -> Vec<Breach>) {
    let sources = all_sources();
    let breaches: Vec<String> = sources
        .iter()
        .flat_map(rule)
        .map(|breach| breach.to_string())
        .collect();
    assert!(breaches.is_empty(), "\n{}", breaches.join("\n"));
}

fn planted(path: &str, text: &str) -> Source {
    Source::new(path, text)
}

#[test]
fn a_room_uses_only_rooms_above_it() {
    let order = rooms(&root().join("src/lib.rs"));
    for room in ["geometry", "photo", "evidence", "sheet", "app"] {
        assert!(
            order.iter().any(|known| known == room),
            "src/lib.rs does not list {room}"
        );
    }
    for text in [
        "use crate::app::run;",
        "use crate::{geometry::Model, app};",
        "use crate::{\n    geometry::{Model, fit},\n    app::{self, window},\n};",
        "fn f() { crate::app::run(None); }",
    ] {
        let breaches = upstream(&planted("crop/cut.rs", text), &order);
        assert_eq!(breaches.len(), 1, "{text}: {breaches:?}");
    }
    for text in [
        "use crate::geometry::Model;",
        "// crate::app is not for us",
        "/// [`crate::app`]",
        "const T: &str = \"crate::app\";",
        "#[cfg(test)]\nmod tests {\n    use crate::app::run;\n}\n",
    ] {
        assert!(
            upstream(&planted("crop/cut.rs", text), &order).is_empty(),
            "{text}"
        );
    }
    holds(|source| upstream(source, &order));
}

#[test]
fn the_list_of_rooms_is_complete() {
    let mut listed = rooms(&root().join("src/lib.rs"));
    let mut found: Vec<String> = std::fs::read_dir(root().join("src"))
        .unwrap()
        .map(|entry| entry.unwrap())
        .filter(|entry| entry.path().join("mod.rs").is_file())
        .map(|entry| entry.file_name().into_string().unwrap())
        .collect();
    listed.sort();
    found.sort();
    assert_eq!(listed, found);
}

#[test]
fn only_the_window_draws() {
    assert_eq!(drawing(&planted("crop/cut.rs", "use egui::Color32;")).len(), 1);
    assert_eq!(
        drawing(&planted("headless/mod.rs", "fn f() { rfd::FileDialog::new(); }")).len(),
        1
    );
    assert!(drawing(&planted("app/view/bench.rs", "use egui::Color32;")).is_empty());
    holds(drawing);
}

/// A manifest's table by its name: from its head to the next one's.
fn table<'a>(manifest: &'a str, name: &str) -> &'a str {
    let head = format!("\n[{name}]\n");
    let start = manifest.find(&head).map_or(manifest.len(), |at| at + head.len());
    let rest = &manifest[start..];
    &rest[..rest.find("\n[").unwrap_or(rest.len())]
}

#[test]
fn the_program_does_not_carry_the_mint() {
    let carried = |manifest: &str| {
        let named = |line: &&str| line.contains("mint");
        table(manifest, "dependencies").lines().filter(named).count()
            + table(manifest, "build-dependencies")
                .lines()
                .filter(named)
                .count()
    };
    let planted =
        "[package]\nname = \"a\"\n\n[dependencies]\nclap = \"4\"\nmint = { path = \"tests/mint\" }\n";
    assert_eq!(carried(planted), 1);
    let only_tests = "[package]\nname = \"a\"\n\n[dev-dependencies]\nmint = { path = \"tests/mint\" }\n";
    assert_eq!(carried(only_tests), 0);
    let manifest = std::fs::read_to_string(root().join("Cargo.toml")).unwrap();
    assert_eq!(carried(&manifest), 0);
    assert!(
        table(&manifest, "dependencies").contains("eframe"),
        "the table is read"
    );
}

#[test]
fn nothing_is_unsafe() {
    assert_eq!(
        unsafe_code(&planted("crop/cut.rs", "fn f() { unsafe { g() } }")).len(),
        1
    );
    assert!(unsafe_code(&planted("crop/cut.rs", "// unsafe is forbidden")).is_empty());
    holds(unsafe_code);
    let manifest = |path: &str| std::fs::read_to_string(root().join(path)).unwrap();
    assert!(table(&manifest("Cargo.toml"), "workspace.lints.rust").contains("unsafe_code = \"forbid\""));
    for path in ["Cargo.toml", "tests/mint/Cargo.toml"] {
        assert!(
            table(&manifest(path), "lints").contains("workspace = true"),
            "{path}"
        );
    }
}

#[test]
fn nothing_gives_up_on_what_comes_from_outside() {
    for text in [
        "a.unwrap()",
        "a.expect(\"b\")",
        "panic!(\"a\")",
        "todo!()",
        "unimplemented!()",
    ] {
        assert_eq!(
            giving_up(&planted("crop/cut.rs", &format!("fn f() {{ {text}; }}"))).len(),
            1,
            "{text}"
        );
        let in_test = format!("#[cfg(test)]\nmod tests {{ fn f() {{ {text}; }} }}\nfn g() {{}}\n");
        assert!(
            giving_up(&planted("crop/cut.rs", &in_test)).is_empty(),
            "{text} in a test"
        );
    }
    assert!(giving_up(&planted("crop/cut.rs", "fn f() { a.unwrap_or(1) }")).is_empty());
    holds(giving_up);
}

#[test]
fn no_comparison_in_a_test_lets_a_value_pass_that_is_no_number() {
    assert_eq!(greatest([1.0, 3.0, -2.0]), 3.0);
    assert_eq!(least([1.0, 3.0, -2.0]), -2.0);
    for values in [vec![f64::NAN, 1.0], vec![1.0, f64::NAN], Vec::new()] {
        let (most, fewest) = (values.clone(), values);
        assert!(std::panic::catch_unwind(|| greatest(most)).is_err());
        assert!(std::panic::catch_unwind(|| least(fewest)).is_err());
    }
    let folds = "fn f() { errors.fold(0.0, f64::max); }";
    assert_eq!(drops_nan(&planted("sheet/paper.rs", folds)).len(), 1);
    assert!(drops_nan(&planted("sheet/paper.rs", "fn f() { f64::max(a, 1.0); }")).is_empty());
    let tests: Vec<Source> = sources(&root().join("tests"))
        .into_iter()
        .filter(|source| !source.path.starts_with("mint/src/") && source.path != "support/numbers.rs")
        .collect();
    assert!(tests.len() > 50, "only {} sources found", tests.len());
    let breaches: Vec<String> = tests
        .into_iter()
        .flat_map(|source| drops_nan(&source.under("../tests")))
        .map(|breach| breach.to_string())
        .collect();
    assert!(breaches.is_empty(), "\n{}", breaches.join("\n"));
}
