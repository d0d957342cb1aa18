//! What kind of picture some bytes are, by their content and never by the name's ending.

/// A kind that is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Format {
    Jpeg,
    Png,
    Tiff,
    WebP,
}

/// What the first bytes say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Recognised {
    /// A kind that is read.
    Read(Format),
    /// A picture of a kind that is not read, with how to convert it.
    Other {
        kind: &'static str,
        advice: &'static str,
    },
    /// Not a picture.
    NoPicture { found: &'static str },
}

const HEIC: &str = "on the phone choose 'most compatible' in the camera's format settings or share it as JPEG, or open \
                    it in the computer's photo viewer and save it as JPEG or PNG";
const RAW: &str = "develop it in the camera's own or any raw converter and save it as 16-bit TIFF or best-quality \
                   JPEG, or use the JPEG that the camera saved beside it";
const OTHER: &str = "open it in any picture viewer and save it as PNG or JPEG";

const fn other(kind: &'static str, advice: &'static str) -> Recognised {
    Recognised::Other { kind, advice }
}

/// Looks at the first bytes (for camera raw in TIFF's clothes also at the first directory).
pub(super) fn recognise(bytes: &[u8]) -> Recognised {
    // Signatures: the formats' own specifications (JPEG, PNG, TIFF 6.0, RIFF/WebP, ISO base media file format) and
    // for camera raw what libmagic lists, from memory.
    let starts = |signature: &[u8]| bytes.starts_with(signature);
    let at = |offset: usize, what: &[u8]| bytes.get(offset..).is_some_and(|b| b.starts_with(what));
    if starts(b"\xFF\xD8\xFF") {
        return Recognised::Read(Format::Jpeg);
    }
    if starts(b"\x89PNG\r\n\x1A\n") {
        return Recognised::Read(Format::Png);
    }
    if starts(b"RIFF") && at(8, b"WEBP") {
        return Recognised::Read(Format::WebP);
    }
    if at(4, b"ftyp") {
        return by_brand(bytes);
    }
    if at(8, b"CR\x02") {
        return other("Canon raw (CR2)", RAW);
    }
    if starts(b"FUJIFILMCCD-RAW") {
        return other("Fujifilm raw (RAF)", RAW);
    }
    if starts(b"IIRO") || starts(b"IIRS") || starts(b"MMOR") {
        return other("Olympus raw (ORF)", RAW);
    }
    if starts(b"IIU\0") {
        return other("Panasonic raw (RW2)", RAW);
    }
    if starts(b"\0MRM") || starts(b"FOVb") {
        return other("camera raw", RAW);
    }
    if starts(b"II*\0") || starts(b"MM\0*") || starts(b"II+\0") || starts(b"MM\0+") {
        return tiff_or_raw(bytes);
    }
    if starts(b"\xFF\x0A") || starts(b"\0\0\0\x0CJXL ") {
        return other("JPEG XL", OTHER);
    }
    if starts(b"\0\0\0\x0CjP  ") {
        return other("JPEG 2000", OTHER);
    }
    if starts(b"GIF8") {
        return other("GIF", OTHER);
    }
    if starts(b"BM") && at(6, b"\0\0\0\0") {
        return other("BMP", OTHER);
    }
    if starts(b"8BPS") {
        return other("layered (PSD)", OTHER);
    }
    let found = if starts(b"%PDF") {
        "a PDF document"
    } else if starts(b"PK\x03\x04") {
        "a zip archive"
    } else if looks_like_text(bytes) {
        "text"
    } else {
        "of no known kind"
    };
    Recognised::NoPicture { found }
}

/// The ISO base media family: HEIC, AVIF, Canon's CR3, and films.
fn by_brand(bytes: &[u8]) -> Recognised {
    match bytes.get(8..12) {
        Some(b"avif" | b"avis") => other("AVIF", OTHER),
        Some(b"crx ") => other("Canon raw (CR3)", RAW),
        Some(b"heic" | b"heix" | b"heim" | b"heis" | b"hevc" | b"hevx" | b"mif1" | b"msf1") => {
            // A general brand first may still name AVIF among the compatible ones.
            let head = bytes.get(12..64.min(bytes.len())).unwrap_or_default();
            if head.windows(4).any(|w| w == b"avif") {
                other("AVIF", OTHER)
            } else {
                other("HEIC", HEIC)
            }
        }
        _ => Recognised::NoPicture { found: "a film" },
    }
}

/// TIFF tags that tell a camera raw file from an ordinary TIFF (TIFF 6.0; TIFF/EP, ISO 12234-2; DNG specification).
mod tag {
    pub const NEW_SUBFILE_TYPE: u16 = 254;
    pub const SUB_IFDS: u16 = 330;
    pub const CFA_PATTERN: u16 = 33422;
    pub const DNG_VERSION: u16 = 50706;
}

/// An ordinary TIFF, or a raw file that begins like one (NEF, ARW, DNG, PEF and others).
fn tiff_or_raw(bytes: &[u8]) -> Recognised {
    let tags = first_directory(bytes);
    let has = |tag: u16| tags.iter().any(|(t, _)| *t == tag);
    // Raw files put a small preview first and the sensor's data in a sub-directory.
    let preview_first = tags
        .iter()
        .any(|(t, value)| *t == tag::NEW_SUBFILE_TYPE && value & 1 == 1);
    if has(tag::DNG_VERSION) {
        other("camera raw (DNG)", RAW)
    } else if has(tag::CFA_PATTERN) || (preview_first && has(tag::SUB_IFDS)) {
        other("camera raw (NEF, ARW or the like)", RAW)
    } else {
        Recognised::Read(Format::Tiff)
    }
}

/// Tag numbers of the first directory, each with its value if that is one 32-bit number; empty where it cannot be read.
fn first_directory(bytes: &[u8]) -> Vec<(u16, u32)> {
    let little = bytes.starts_with(b"II");
    let u16_at = |i: usize| -> Option<u16> {
        let b = bytes.get(i..i.checked_add(2)?)?.try_into().ok()?;
        Some(if little {
            u16::from_le_bytes(b)
        } else {
            u16::from_be_bytes(b)
        })
    };
    let u32_at = |i: usize| -> Option<u32> {
        let b = bytes.get(i..i.checked_add(4)?)?.try_into().ok()?;
        Some(if little {
            u32::from_le_bytes(b)
        } else {
            u32::from_be_bytes(b)
        })
    };
    let read = || -> Option<Vec<(u16, u32)>> {
        let start = u32_at(4)? as usize;
        let count = usize::from(u16_at(start)?);
        (0..count)
            .map(|i| {
                let entry = start + 2 + 12 * i;
                Some((u16_at(entry)?, u32_at(entry + 8)?))
            })
            .collect()
    };
    read().unwrap_or_default()
}

fn looks_like_text(bytes: &[u8]) -> bool {
    let head = &bytes[..bytes.len().min(512)];
    !head.iter().any(|b| *b < 9)
        && (std::str::from_utf8(head).is_ok() || head.is_ascii() || bytes.len() > 512)
        && head
            .iter()
            .filter(|b| b.is_ascii_graphic() || b.is_ascii_whitespace())
            .count()
            * 10
            >= head.len() * 7
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kind(bytes: &[u8]) -> &'static str {
        match recognise(bytes) {
            Recognised::Read(_) => "read",
            Recognised::Other { kind, .. } => kind,
            Recognised::NoPicture { found } => found,
        }
    }

    #[test]
    fn kinds_are_told_by_content() {
        assert_eq!(kind(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"), "HEIC");
        assert_eq!(kind(b"\0\0\0\x18ftypmif1\0\0\0\0mif1avif"), "AVIF");
        assert_eq!(kind(b"\0\0\0\x18ftypcrx \0\0\0\0"), "Canon raw (CR3)");
        assert_eq!(kind(b"\0\0\0\x18ftypisom\0\0\0\0"), "a film");
        assert_eq!(kind(b"II*\0\x10\0\0\0CR\x02\0"), "Canon raw (CR2)");
        assert_eq!(kind(b"FUJIFILMCCD-RAW 0201"), "Fujifilm raw (RAF)");
        assert_eq!(kind(b"Dear collector,\nplease find"), "text");
        assert_eq!(kind(b"\0\x01\x02\x03"), "of no known kind");
        assert_eq!(kind(b"\xFF\xD8\xFF\xE0"), "read");
    }

    /// A TIFF's first directory of the given tags, all of type LONG.
    fn tiff(tags: &[(u16, u32)]) -> Vec<u8> {
        let mut bytes = b"II*\0\x08\0\0\0".to_vec();
        bytes.extend(u16::try_from(tags.len()).unwrap().to_le_bytes());
        for (tag, value) in tags {
            bytes.extend(tag.to_le_bytes());
            bytes.extend(4u16.to_le_bytes());
            bytes.extend(1u32.to_le_bytes());
            bytes.extend(value.to_le_bytes());
        }
        bytes
    }

    #[test]
    fn raw_in_tiffs_clothes_is_told_from_tiff() {
        assert_eq!(kind(&tiff(&[(254, 0), (256, 10)])), "read");
        assert_eq!(
            kind(&tiff(&[(254, 1), (330, 500)])),
            "camera raw (NEF, ARW or the like)"
        );
        assert_eq!(kind(&tiff(&[(254, 1), (50706, 1)])), "camera raw (DNG)");
    }
}
