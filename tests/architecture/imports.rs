//! Which file imports from which: read off `use` trees and paths, re-exports followed to the file that defines a name.

use std::collections::{BTreeMap, BTreeSet};

use super::source::Source;

/// For every file of the sources, by its path, the files whose items it names.
pub type Imports = BTreeMap<String, BTreeSet<String>>;

/// A path of names, and under which name the last is known afterwards.
#[derive(Debug, Clone)]
struct Leaf {
    path: Vec<String>,
    known_as: String,
}

/// One file as a module.
struct Module {
    /// Its path from the crate's root, such as `["crop", "sampler"]`.
    path: Vec<String>,
    file: String,
    /// What it hands on by `pub use`, in any visibility.
    handed_on: Vec<Leaf>,
    /// What it names for itself.
    named: Vec<Leaf>,
}

/// The imports among some sources, whose paths are those under `src`.
pub fn imports(sources: &[Source]) -> Imports {
    let modules: Vec<Module> = sources.iter().map(module).collect();
    let known: BTreeMap<Vec<String>, &Module> = modules.iter().map(|m| (m.path.clone(), m)).collect();
    modules
        .iter()
        .map(|from| {
            let mut files = BTreeSet::new();
            for leaf in &from.named {
                files.extend(defining_file(&known, &from.path, &leaf.path, 0));
            }
            files.remove(&from.file);
            (from.file.clone(), files)
        })
        .collect()
}

/// Groups of files that reach each other by imports, each sorted; the circles.
pub fn circles(imports: &Imports) -> Vec<Vec<String>> {
    let reached: BTreeMap<&String, BTreeSet<&String>> =
        imports.keys().map(|file| (file, reach(imports, file))).collect();
    let mut left: BTreeSet<&String> = imports.keys().collect();
    let mut found = Vec::new();
    while let Some(file) = left.pop_first() {
        let group: Vec<&String> = left
            .iter()
            .copied()
            .filter(|other| reached[file].contains(*other) && reached[*other].contains(file))
            .collect();
        if !group.is_empty() {
            group.iter().for_each(|other| {
                left.remove(*other);
            });
            found.push(std::iter::once(file).chain(group).cloned().collect());
        }
    }
    found
}

fn reach<'a>(imports: &'a Imports, from: &String) -> BTreeSet<&'a String> {
    let mut reached = BTreeSet::new();
    let mut open: Vec<&String> = imports[from].iter().collect();
    while let Some(file) = open.pop() {
        if reached.insert(file) {
            open.extend(imports.get(file).into_iter().flatten());
        }
    }
    reached
}

fn module(source: &Source) -> Module {
    let mut path: Vec<String> = source
        .path
        .trim_end_matches(".rs")
        .split('/')
        .map(str::to_owned)
        .collect();
    if path.last().is_some_and(|name| name == "mod" || name == "lib") {
        path.pop();
    }
    let (uses, rest) = use_items(&source.code);
    let mut module = Module {
        path,
        file: source.path.clone(),
        handed_on: Vec::new(),
        named: Vec::new(),
    };
    for (public, tree) in uses {
        let leaves = leaves(&tree);
        if public {
            module.handed_on.extend(leaves);
        } else {
            module.named.extend(leaves);
        }
    }
    let by_name: BTreeMap<String, Vec<String>> = module
        .named
        .iter()
        .map(|leaf| (leaf.known_as.clone(), leaf.path.clone()))
        .collect();
    for mut leaf in paths_in(&rest) {
        // A path that begins with an imported name goes on from there.
        if let Some(imported) = by_name.get(&leaf.path[0]) {
            leaf.path.splice(..1, imported.iter().cloned());
        }
        module.named.push(leaf);
    }
    module
}

/// The trees of all `use` items, with whether each is handed on, and the code without them.
fn use_items(code: &str) -> (Vec<(bool, String)>, String) {
    let mut items = Vec::new();
    let mut rest = String::new();
    let mut left = code;
    while let Some(at) = left.find("use ") {
        let before = &left[..at];
        let line = before.rsplit('\n').next().unwrap_or("").trim();
        let own_item = line.is_empty() || line.starts_with("pub");
        let Some(end) = left[at..].find(';').filter(|_| own_item) else {
            rest += &left[..at + 4];
            left = &left[at + 4..];
            continue;
        };
        rest += before;
        items.push((line.starts_with("pub"), left[at + 4..at + end].to_owned()));
        left = &left[at + end + 1..];
    }
    rest += left;
    (items, rest)
}

/// The paths that a use tree stands for.
fn leaves(tree: &str) -> Vec<Leaf> {
    let tree = tree.trim();
    let Some((head, group)) = tree.split_once('{') else {
        let (path, alias) = tree
            .split_once(" as ")
            .map_or((tree, None), |(p, a)| (p, Some(a)));
        let path: Vec<String> = path.split("::").map(|name| name.trim().to_owned()).collect();
        let known_as = alias
            .unwrap_or(path.last().map_or("", String::as_str))
            .trim()
            .to_owned();
        return vec![Leaf { path, known_as }];
    };
    let head: Vec<String> = head
        .split("::")
        .map(|name| name.trim().to_owned())
        .filter(|name| !name.is_empty())
        .collect();
    let group = group.trim_end().trim_end_matches('}');
    split_at_commas(group)
        .into_iter()
        .flat_map(leaves)
        .map(|leaf| {
            let own = leaf.path.first().is_some_and(|name| name == "self");
            let known_as = if own {
                head.last().cloned().unwrap_or_default()
            } else {
                leaf.known_as
            };
            let tail = leaf.path.into_iter().skip(usize::from(own));
            Leaf {
                path: head.iter().cloned().chain(tail).collect(),
                known_as,
            }
        })
        .collect()
}

fn split_at_commas(group: &str) -> Vec<&str> {
    let (mut depth, mut start) = (0, 0);
    let mut parts = Vec::new();
    for (at, c) in group.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                parts.push(&group[start..at]);
                start = at + 1;
            }
            _ => {}
        }
    }
    parts.push(&group[start..]);
    parts.retain(|part| !part.trim().is_empty());
    parts
}

/// All paths of two or more names in code, each from its first name on.
fn paths_in(code: &str) -> Vec<Leaf> {
    let in_path = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
    code.split(|c: char| !in_path(c))
        .filter(|word| word.contains("::") && !word.starts_with("::"))
        .map(|word| {
            let path: Vec<String> = word
                .split("::")
                .filter(|name| !name.is_empty())
                .map(|name| name.trim_matches(':').to_owned())
                .collect();
            let known_as = path.last().cloned().unwrap_or_default();
            Leaf { path, known_as }
        })
        .collect()
}

/// The file that defines what a path names as seen from a module: none where it lies outside of the sources.
fn defining_file(
    known: &BTreeMap<Vec<String>, &Module>,
    from: &[String],
    path: &[String],
    depth: usize,
) -> Option<String> {
    // A chain of re-exports longer than this is a circle of its own.
    const DEEPEST: usize = 12;
    if depth > DEEPEST {
        return None;
    }
    let (mut at, mut names) = start(from, path)?;
    while let Some((name, rest)) = names.split_first() {
        at.push(name.clone());
        let inside = known.range(at.clone()..).next();
        if !inside.is_some_and(|(path, _)| path.starts_with(&at)) {
            at.pop();
            break;
        }
        names = rest;
    }
    let module = known.get(&at)?;
    let Some((name, rest)) = names.split_first() else {
        return Some(module.file.clone());
    };
    for leaf in &module.handed_on {
        let mut onward = leaf.path.clone();
        if leaf.known_as == "*" {
            onward.pop();
            onward.push(name.clone());
        } else if leaf.known_as != *name {
            continue;
        }
        onward.extend_from_slice(rest);
        return defining_file(known, &at, &onward, depth + 1);
    }
    Some(module.file.clone())
}

/// The path at which a path begins, from the crate's root, and the names that are left of it.
fn start<'p>(from: &[String], path: &'p [String]) -> Option<(Vec<String>, &'p [String])> {
    let mut at = from.to_vec();
    let (first, rest) = path.split_first()?;
    match first.as_str() {
        "crate" => at.clear(),
        "self" => {}
        "super" => {
            let ups = path.iter().take_while(|name| *name == "super").count();
            at.truncate(at.len().saturating_sub(ups));
            return Some((at, &path[ups..]));
        }
        // A module of its own, or something from outside or already imported.
        _ => return Some((at, path)),
    }
    Some((at, rest))
}
