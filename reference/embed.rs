//! Build script: lists the files of the demo set and its coins, so that the program carries them. A list made at
//! build time needs no upkeep when a plate is added, and a folder that is not there yet gives an empty list.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

fn main() {
    let root = PathBuf::from(std::env::var("CARGO_MANIFEST_DIR").expect("cargo sets it")).join("reference");
    let mut code = String::new();
    for (name, folder) in [("DEMO_SET", "demo"), ("DEMO_COINS", "demo-coins")] {
        let folder = root.join(folder);
        let mut files = Vec::new();
        if folder.is_dir() {
            println!("cargo::rerun-if-changed={}", folder.display());
            collect(&folder, &folder, &mut files);
        } else {
            // The parent is watched, so that the folder is seen when it comes.
            println!("cargo::rerun-if-changed={}", root.display());
        }
        files.sort();
        writeln!(code, "pub(crate) static {name}: &[(&str, &[u8])] = &[").expect("writing to a string");
        for (path, file) in files {
            writeln!(code, "    ({path:?}, include_bytes!({file:?})),").expect("writing to a string");
        }
        writeln!(code, "];").expect("writing to a string");
    }
    println!("cargo::rerun-if-changed=reference/embed.rs");
    let out = PathBuf::from(std::env::var("OUT_DIR").expect("cargo sets it"));
    std::fs::write(out.join("demo_files.rs"), code).expect("the build folder is writable");
}

fn collect(folder: &Path, root: &Path, files: &mut Vec<(String, String)>) {
    for entry in std::fs::read_dir(folder)
        .expect("the folder is readable")
        .flatten()
    {
        let file = entry.path();
        if file.is_dir() {
            collect(&file, root, files);
        } else {
            let path = file
                .strip_prefix(root)
                .expect("it lies below")
                .to_string_lossy()
                .replace('\\', "/");
            files.push((path, file.to_string_lossy().into_owned()));
        }
    }
}
