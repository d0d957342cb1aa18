//! No circles of imports, and in the window's room who may know whom.

use std::collections::BTreeSet;

use super::imports::{Imports, circles, imports};
use super::left::{CIRCLES, STRANGERS};
use super::source::{Source, sources};
use super::{planted, root};

/// Whether a circle is left for now: all its files begin as one of the words of one entry.
fn is_left(circle: &[String], left: &[(&str, &str)]) -> bool {
    let begins = |file: &String, files: &str| files.split(' ').any(|start| file.starts_with(start));
    left.iter()
        .any(|(files, _)| circle.iter().all(|file| begins(file, files)))
}

fn of(files: &[(&str, &str)]) -> Imports {
    let files: Vec<Source> = files.iter().map(|(path, text)| planted(path, text)).collect();
    imports(&files)
}

#[test]
fn imports_are_followed_to_the_file_that_defines_a_name() {
    let found = of(&[
        (
            "crop/mod.rs",
            "mod cut;\nmod path;\npub use cut::{Crop, cut as cut_out};\npub use path::*;",
        ),
        (
            "crop/cut.rs",
            "use super::path::Path;\nuse super::Steps;\npub struct Crop;",
        ),
        ("crop/path.rs", "pub struct Path;\npub struct Steps;"),
        ("app/page.rs", "use crate::crop;\nfn f() { crop::cut_out() }"),
        (
            "app/other.rs",
            "use crate::{crop::{self, Crop}, app::page::draw};",
        ),
    ]);
    let files = |names: &[&str]| names.iter().map(|n| (*n).to_owned()).collect::<BTreeSet<_>>();
    assert_eq!(found["crop/mod.rs"], files(&[]));
    assert_eq!(found["crop/cut.rs"], files(&["crop/path.rs"]));
    assert_eq!(found["app/page.rs"], files(&["crop/cut.rs", "crop/mod.rs"]));
    assert_eq!(
        found["app/other.rs"],
        files(&["crop/cut.rs", "crop/mod.rs", "app/page.rs"])
    );
}

#[test]
fn no_files_import_each_other_in_a_circle() {
    // Planted: two files of a folder, three by way of a re-export, a folder's head with a file of its own.
    for files in [
        vec![
            ("crop/a.rs", "use super::b::B;"),
            ("crop/b.rs", "use super::a::A;"),
        ],
        vec![
            ("crop/mod.rs", "mod a;\nmod b;\nmod c;\npub use a::A;"),
            ("crop/a.rs", "use super::b::B;"),
            ("crop/b.rs", "fn f() { super::c::g() }"),
            ("crop/c.rs", "use crate::crop::A;"),
        ],
        vec![
            ("crop/mod.rs", "mod a;\npub struct Kind;\nfn f() { a::g() }"),
            ("crop/a.rs", "use super::Kind;"),
        ],
    ] {
        let found = circles(&of(&files));
        assert_eq!(found.len(), 1, "{files:?}");
        assert!(!is_left(&found[0], &[("align/", "a planted reason")]));
        assert!(is_left(&found[0], &[("crop/", "a planted reason")]));
    }
    assert!(
        circles(&of(&[
            ("crop/a.rs", "use super::b::B;"),
            ("crop/b.rs", "pub struct B;")
        ]))
        .is_empty()
    );

    let found = circles(&imports(&sources(&root().join("src"))));
    for entry in CIRCLES {
        let needed = found.iter().any(|circle| is_left(circle, &[*entry]));
        assert!(needed, "no circle is left in {}: take it off the list", entry.0);
    }
    let broken: Vec<String> = found
        .iter()
        .filter(|circle| !is_left(circle, CIRCLES))
        .map(|circle| circle.join(" "))
        .collect();
    assert!(broken.is_empty(), "in a circle:\n{}", broken.join("\n"));
}

/// The parts of the window's room and whom each may know. A page knows no other page.
const MAY_KNOW: [(&str, &[&str]); 4] = [
    ("app/model", &[]),
    ("app/widgets", &["app/model"]),
    ("app/pages", &["app/model", "app/widgets"]),
    ("app/shell", &["app/model", "app/widgets", "app/pages"]),
];

/// The part of the window's room to which a file belongs; a page is a part of its own.
fn part(file: &str) -> Option<(&str, &str)> {
    let (layer, _) = MAY_KNOW
        .iter()
        .find(|(layer, _)| file.strip_prefix(layer).is_some_and(|rest| rest.starts_with('/')))?;
    let name = file[layer.len() + 1..].split('/').next().unwrap_or("");
    let page = if *layer == "app/pages" {
        name.trim_end_matches(".rs")
    } else {
        ""
    };
    Some((layer, page))
}

/// The imports in the window's room that are against [`MAY_KNOW`].
fn strangers(imports: &Imports) -> Vec<(String, String)> {
    let allowed = |from: (&str, &str), to: (&str, &str)| {
        from == to
            // What all pages share stands at their head.
            || (from.0 == to.0 && (to.1 == "mod" || from.1 == "mod"))
            || MAY_KNOW
                .iter()
                .any(|(layer, known)| *layer == from.0 && known.contains(&to.0))
    };
    let mut found = Vec::new();
    for (file, named) in imports {
        let Some(from) = part(file) else { continue };
        for other in named {
            if part(other).is_some_and(|to| !allowed(from, to)) {
                found.push((file.clone(), other.clone()));
            }
        }
    }
    found
}

#[test]
fn in_the_window_only_those_know_each_other_who_should() {
    for (file, text) in [
        ("app/pages/align/mod.rs", "use crate::app::shell::window::Window;"),
        (
            "app/pages/align/mod.rs",
            "use crate::app::pages::compare::dials::Dials;",
        ),
        (
            "app/widgets/rows.rs",
            "use crate::app::pages::compare::dials::Dials;",
        ),
        ("app/model/store.rs", "use crate::app::widgets::rows::Rows;"),
        ("app/model/store.rs", "use super::super::shell::window::Window;"),
    ] {
        let found = strangers(&of(&[
            ("app/shell/window.rs", "pub struct Window;"),
            ("app/pages/compare/dials.rs", "pub struct Dials;"),
            (
                if file == "app/widgets/rows.rs" {
                    "app/widgets/other.rs"
                } else {
                    "app/widgets/rows.rs"
                },
                "",
            ),
            (file, text),
        ]));
        assert_eq!(found.len(), 1, "{file}: {text}");
    }
    let fine = of(&[
        ("app/model/store.rs", "pub struct Store;"),
        (
            "app/pages/align/fit.rs",
            "use crate::app::model::store::Store;\nuse super::marks::Marks;",
        ),
        ("app/pages/align/marks.rs", "pub struct Marks;"),
        ("app/shell/window.rs", "use crate::app::pages::align::fit::fit;"),
    ]);
    assert!(strangers(&fine).is_empty());

    let found = strangers(&imports(&sources(&root().join("src"))));
    for (from, to, _) in STRANGERS {
        let needed = found.iter().any(|(f, t)| f == from && t == to);
        assert!(needed, "{from} no longer knows {to}: take it off the list");
    }
    let left = |(from, to): &&(String, String)| STRANGERS.iter().any(|(f, t, _)| from == f && to == t);
    let broken: Vec<String> = found
        .iter()
        .filter(|pair| !left(pair))
        .map(|(from, to)| format!("{from} knows {to}"))
        .collect();
    assert!(broken.is_empty(), "\n{}", broken.join("\n"));
}
