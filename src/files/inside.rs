//! Paths inside a set: relative, downward, and the same on every system.

use std::path::{Path, PathBuf};

/// The longest path in bytes.
const LONGEST_PATH_BYTES: usize = 200;
/// The most parts of a path.
const MOST_PARTS: usize = 8;

/// Why a path inside a set is refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PathFault {
    /// It is empty.
    #[error("its path is empty")]
    Empty,
    /// Too long or too many parts.
    #[error("its path is longer than {LONGEST_PATH_BYTES} bytes or has more than {MOST_PARTS} parts")]
    TooLong,
    /// It starts at the root or a drive.
    #[error("its path is absolute; paths in a set start in the set's own folder")]
    Absolute,
    /// It climbs by `..`.
    #[error("its path leaves the set's folder by \u{201c}..\u{201d}")]
    Climbs,
    /// It has an empty part, `.`, or a part that ends in a dot or space.
    #[error("its path has an empty part, a lone dot, or a part that ends in a dot or a space")]
    BadPart,
    /// It has a character that some system does not allow in file names.
    #[error(
        "its path has a character that file names may not have (one of \\ : * ? \" < > | or a control one)"
    )]
    BadCharacter,
    /// It is a name that some system keeps for a device.
    #[error("its path uses a name that is kept for a device on some systems")]
    Reserved,
    /// A link on the way leads out of the set's folder.
    #[error("a link on its path leads out of the set's folder")]
    LinkedOut,
}

/// Checks a path as a set gives it, with `/` between its parts, and turns it into the system's form, still relative.
///
/// # Errors
/// [`PathFault`].
pub fn inside(path: &str) -> Result<PathBuf, PathFault> {
    if path.is_empty() {
        return Err(PathFault::Empty);
    }
    if path.len() > LONGEST_PATH_BYTES {
        return Err(PathFault::TooLong);
    }
    let drive = path.as_bytes().get(1) == Some(&b':');
    if path.starts_with(['/', '\\']) || drive {
        return Err(PathFault::Absolute);
    }
    let forbidden = |c: char| c.is_control() || "\\:*?\"<>|".contains(c);
    let parts: Vec<&str> = path.split('/').collect();
    // Climbing is told first, whichever separator it uses.
    if path.split(['/', '\\']).any(|part| part == "..") {
        return Err(PathFault::Climbs);
    }
    if path.contains(forbidden) {
        return Err(PathFault::BadCharacter);
    }
    if parts.len() > MOST_PARTS {
        return Err(PathFault::TooLong);
    }
    for part in &parts {
        if part.is_empty() || part.ends_with(['.', ' ']) || part.starts_with(' ') {
            return Err(PathFault::BadPart);
        }
        if is_reserved(part) {
            return Err(PathFault::Reserved);
        }
    }
    Ok(parts.iter().collect())
}

/// Device names of one widespread system, which cannot be files there whatever their ending. From memory.
fn is_reserved(part: &str) -> bool {
    let stem = part.split('.').next().unwrap_or_default().to_ascii_uppercase();
    let numbered = |prefix: &str| {
        stem.strip_prefix(prefix)
            .is_some_and(|n| n.len() == 1 && n.chars().all(|c| c.is_ascii_digit()))
    };
    matches!(stem.as_str(), "CON" | "PRN" | "AUX" | "NUL") || numbered("COM") || numbered("LPT")
}

/// Where a path inside a folder really lies; refused where a link on it leads out of the folder.
///
/// # Errors
/// [`PathFault`]; the inner error is the system's, where the file is not there or not readable.
pub fn resolve(folder: &Path, path: &str) -> Result<std::io::Result<PathBuf>, PathFault> {
    let relative = inside(path)?;
    let real = match folder.canonicalize() {
        Ok(root) => match root.join(relative).canonicalize() {
            Ok(real) if !real.starts_with(&root) => return Err(PathFault::LinkedOut),
            other => other,
        },
        Err(error) => Err(error),
    };
    Ok(real)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hostile_paths_are_refused() {
        for (path, fault) in [
            ("", PathFault::Empty),
            ("/etc/passwd", PathFault::Absolute),
            ("\\\\host\\share", PathFault::Absolute),
            ("C:/x.jpg", PathFault::Absolute),
            ("../x.jpg", PathFault::Climbs),
            ("plates/../../x.jpg", PathFault::Climbs),
            ("plates\\..\\..\\x.jpg", PathFault::Climbs),
            ("plates\\x.jpg", PathFault::BadCharacter),
            ("plates/x\0.jpg", PathFault::BadCharacter),
            ("plates//x.jpg", PathFault::BadPart),
            ("./x.jpg", PathFault::BadPart),
            ("x.jpg.", PathFault::BadPart),
            ("plates/nul.jpg", PathFault::Reserved),
            ("COM1", PathFault::Reserved),
            ("a/b/c/d/e/f/g/h/i", PathFault::TooLong),
        ] {
            assert_eq!(inside(path), Err(fault), "{path:?}");
        }
        assert_eq!(inside(&"x".repeat(10_000_000)), Err(PathFault::TooLong));
        assert_eq!(
            inside("plates/O1 (late).jpg"),
            Ok(Path::new("plates").join("O1 (late).jpg"))
        );
    }
}
