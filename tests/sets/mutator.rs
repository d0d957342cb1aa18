//! Changes to files of a known form that keep enough of the form to get deep into a reader: words for words and whole
//! brackets in RON, cells and rows in CSV, headers and lists in zip files, sizes and segments in pictures.

use rand::Rng;
use rand_chacha::ChaCha8Rng;

use super::zip_by_hand::{Member, crc32, zip};

/// What a file is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    Ron,
    Csv,
    Zip,
    Picture,
}

/// Numbers that readers stumble over, little-endian where they are put into headers.
const NUMBERS: [u32; 14] = [
    0,
    1,
    2,
    7,
    0x7f,
    0xff,
    0x7fff,
    0xffff,
    0x1_0000,
    100_000,
    0x7fff_ffff,
    0x8000_0000,
    0xffff_fffe,
    0xffff_ffff,
];

/// Words for RON: names of fields and variants that stand in some place, and numbers and texts at the border.
const WORDS: [&str; 56] = [
    "format",
    "id",
    "edition",
    "title",
    "measures",
    "diameter_mm",
    "weight_g",
    "facts",
    "obverse",
    "reverse",
    "pairings",
    "landmarks",
    "zones",
    "features",
    "dies",
    "shows",
    "plates",
    "file",
    "states",
    "stated",
    "DistanceMm",
    "AngleDeg",
    "value",
    "tolerance",
    "place_mm",
    "centre_mm",
    "size_mm",
    "telling_detail_mm",
    "verdicts",
    "ruling",
    "Agrees",
    "CannotTell",
    "Wear",
    "Obverse",
    "Is",
    "OneOf",
    "Unreadable",
    "seen",
    "plate",
    "Some",
    "None",
    "()",
    "true",
    "inf",
    "-inf",
    "NaN",
    "1e999",
    "-0.0",
    "1e-320",
    "18446744073709551616",
    "0x7f",
    "'a'",
    "b\"a\"",
    "r#\"a\"#",
    "\"../up.png\"",
    "\"\\u{0}\\u{202e}\"",
];

/// Pieces of bytes for any form.
const PIECES: [&[u8]; 30] = [
    b"(",
    b")",
    b"[",
    b"]",
    b"{",
    b"}",
    b"\"",
    b"'",
    b":",
    b",",
    b"//",
    b"/*",
    b"*/",
    b"r#\"",
    b"\"#",
    b"\\",
    b"\0",
    b"\xff",
    b"\xc0\x80",
    b"\xef\xbb\xbf",
    b"\xff\xfe",
    b"\r",
    b"\n",
    b"#![enable(unwrap_newtypes)]",
    b"../",
    b"C:",
    b"PK\x01\x02",
    b"PK\x05\x06",
    b"((((((((((((((((((((((((((((((((((((((((",
    b"[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[",
];

fn one_of<'a, T>(random: &mut ChaCha8Rng, from: &'a [T]) -> &'a T {
    &from[random.random_range(0..from.len())]
}

/// How many times a piece of some bytes may be repeated, so that files stay small enough to try many.
fn most_times(bytes: usize) -> usize {
    const MOST_BYTES: usize = 200_000;
    MOST_BYTES / bytes.max(1)
}

/// Changes a file in some places; `other` is a file of the same form to take parts from.
pub fn mutate(random: &mut ChaCha8Rng, form: Form, seed: &[u8], other: &[u8]) -> Vec<u8> {
    /// Half of all inputs are changed in one place only: more seldom keep what a reader accepts.
    const USUAL: [u32; 8] = [1, 1, 1, 1, 2, 2, 3, 6];
    let mut bytes = seed.to_vec();
    for _ in 0..*one_of(random, &USUAL) {
        // A quarter knows nothing of the form, so that what nobody thought of is tried as well.
        bytes = match form {
            _ if random.random_range(0..4) == 0 => any_bytes(random, bytes),
            Form::Ron => ron(random, &bytes, other),
            Form::Csv => csv(random, &bytes),
            Form::Zip => packed(random, bytes),
            Form::Picture => picture(random, bytes),
        };
    }
    bytes
}

fn any_bytes(random: &mut ChaCha8Rng, mut bytes: Vec<u8>) -> Vec<u8> {
    let length = bytes.len();
    let at = random.random_range(0..=length);
    let end = (at + random.random_range(0..64_usize)).min(length);
    match random.random_range(0..7) {
        0 if at < length => bytes[at] ^= 1 << random.random_range(0..8),
        1 if at < length => bytes[at] = random.random(),
        2 => drop(bytes.drain(at..end)),
        3 => {
            let piece = bytes[at..end].to_vec();
            let to = random.random_range(0..=length);
            bytes.splice(to..to, piece);
        }
        4 => bytes.truncate(at),
        _ => {
            let piece = *one_of(random, &PIECES);
            bytes.splice(at..at, piece.iter().copied());
        }
    }
    bytes
}

/// The words, numbers, texts and marks of a RON file, as ranges of its bytes.
fn tokens(bytes: &[u8]) -> Vec<std::ops::Range<usize>> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        let start = at;
        match bytes[at] {
            b'"' => {
                at += 1;
                while at < bytes.len() && bytes[at] != b'"' {
                    at += if bytes[at] == b'\\' { 2 } else { 1 };
                }
                at = (at + 1).min(bytes.len());
            }
            b if b.is_ascii_alphanumeric() || matches!(b, b'_' | b'-' | b'+') => {
                while at < bytes.len()
                    && (bytes[at].is_ascii_alphanumeric() || matches!(bytes[at], b'_' | b'-' | b'.' | b'+'))
                {
                    at += 1;
                }
            }
            _ => at += 1,
        }
        if !bytes[start].is_ascii_whitespace() {
            found.push(start..at);
        }
    }
    found
}

/// A bracket with all in it, from a token on that opens one.
fn bracket(bytes: &[u8], tokens: &[std::ops::Range<usize>], from: usize) -> Option<std::ops::Range<usize>> {
    let mut depth = 0_usize;
    for token in &tokens[from..] {
        match bytes[token.start] {
            b'(' | b'[' | b'{' => depth += 1,
            b')' | b']' | b'}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth == 0 {
            return (token.end > tokens[from].end).then_some(tokens[from].start..token.end);
        }
    }
    None
}

/// A random bracket of a file.
fn any_bracket(random: &mut ChaCha8Rng, bytes: &[u8]) -> Option<std::ops::Range<usize>> {
    let tokens = tokens(bytes);
    let opening: Vec<usize> = (0..tokens.len())
        .filter(|i| matches!(bytes[tokens[*i].start], b'(' | b'[' | b'{'))
        .collect();
    if opening.is_empty() {
        return None;
    }
    bracket(bytes, &tokens, *one_of(random, &opening))
}

fn ron(random: &mut ChaCha8Rng, bytes: &[u8], other: &[u8]) -> Vec<u8> {
    let tokens = tokens(bytes);
    if tokens.is_empty() {
        return bytes.to_vec();
    }
    let mut changed = bytes.to_vec();
    let token = one_of(random, &tokens).clone();
    match random.random_range(0..9) {
        // A word for a word: from the list, or from elsewhere in either file.
        0 | 1 => drop(changed.splice(token, one_of(random, &WORDS).bytes())),
        2 => {
            let from = if random.random() { bytes } else { other };
            let words = self::tokens(from);
            if !words.is_empty() {
                let word = from[one_of(random, &words).clone()].to_vec();
                changed.splice(token, word);
            }
        }
        3 => drop(changed.drain(token)),
        // A digit made another keeps the form and changes the value.
        4 => {
            for byte in &mut changed[token] {
                if byte.is_ascii_digit() {
                    *byte = b'0' + random.random_range(0..10_u8);
                }
            }
        }
        // Whole brackets: doubled, many times over, taken out, wrapped, or put in another's place.
        5 => {
            if let Some(range) = any_bracket(random, bytes) {
                let times = (*one_of(random, &[1, 1, 2, 40])).min(most_times(range.len()));
                let mut piece = Vec::new();
                for _ in 0..times {
                    piece.push(b',');
                    piece.extend_from_slice(&bytes[range.clone()]);
                }
                changed.splice(range.end..range.end, piece);
            }
        }
        6 => {
            if let Some(range) = any_bracket(random, bytes) {
                changed.drain(range);
            }
        }
        7 => {
            if let Some(range) = any_bracket(random, bytes) {
                let depth = *one_of(random, &[1, 3, 30, 200]);
                let (open, close) = *one_of(
                    random,
                    &[("(", ")"), ("[", "]"), ("Some(", ")"), ("{\"a\":", "}")],
                );
                let mut piece = open.repeat(depth).into_bytes();
                piece.extend_from_slice(&bytes[range.clone()]);
                piece.extend(close.repeat(depth).bytes());
                changed.splice(range, piece);
            }
        }
        _ => {
            if let (Some(range), Some(from)) = (any_bracket(random, bytes), any_bracket(random, other)) {
                changed.splice(range, other[from].iter().copied());
            }
        }
    }
    changed
}

fn csv(random: &mut ChaCha8Rng, bytes: &[u8]) -> Vec<u8> {
    const CELLS: [&str; 20] = [
        "obverse",
        "reverse",
        "Obverse",
        "side",
        "name",
        "spout tip",
        "lid knob",
        "nowhere",
        "",
        " ",
        "1e999",
        "NaN",
        "-0.5",
        "3999.5",
        "4000",
        "1,5",
        "\"",
        "\"a\"\"b\"",
        "\"a\nb\"",
        "=1+1",
    ];
    const ENDS: [&str; 5] = ["\n", "\r\n", "\r", "\n\n", ""];
    let text = String::from_utf8_lossy(bytes);
    let mut rows: Vec<Vec<String>> = text
        .lines()
        .map(|line| line.split(',').map(str::to_owned).collect())
        .collect();
    if rows.is_empty() {
        return bytes.to_vec();
    }
    let row = random.random_range(0..rows.len());
    let cell = random.random_range(0..rows[row].len().max(1));
    match random.random_range(0..8) {
        0 | 1 if cell < rows[row].len() => rows[row][cell] = (*one_of(random, &CELLS)).to_owned(),
        2 => rows[row].push((*one_of(random, &CELLS)).to_owned()),
        3 => drop(rows[row].pop()),
        4 => {
            let again = rows[row].clone();
            let times =
                (*one_of(random, &[1, 2, 6_000])).min(most_times(again.iter().map(String::len).sum()));
            let copies = std::iter::repeat_n(again, times);
            rows.splice(row..row, copies);
        }
        5 => drop(rows.remove(row)),
        6 => {
            let with = random.random_range(0..rows.len());
            rows.swap(row, with);
        }
        _ if cell < rows[row].len() => {
            for row in &mut rows {
                if row.len() > cell {
                    let moved = row.remove(cell);
                    row.push(moved);
                }
            }
        }
        _ => {}
    }
    let end = one_of(random, &ENDS);
    let separator = *one_of(random, &[",", ",", ",", ";", "\t"]);
    let lines: Vec<String> = rows.iter().map(|row| row.join(separator)).collect();
    lines.join(end).into_bytes()
}

/// Fields of a record: the offset of each from the record's mark, and its width, in bytes.
type Fields = [(usize, usize)];

/// The marks of a zip file's records, and the offsets and widths of the fields after it (APPNOTE.TXT, sec. 4.3).
const ZIP_FIELDS: [(&[u8], &Fields); 3] = [
    (
        b"PK\x03\x04",
        &[
            (4, 2),
            (6, 2),
            (8, 2),
            (14, 4),
            (18, 4),
            (22, 4),
            (26, 2),
            (28, 2),
        ],
    ),
    (
        b"PK\x01\x02",
        &[
            (4, 2),
            (6, 2),
            (8, 2),
            (10, 2),
            (16, 4),
            (20, 4),
            (24, 4),
            (28, 2),
            (30, 2),
            (32, 2),
            (34, 2),
            (36, 2),
            (38, 4),
            (42, 4),
        ],
    ),
    (
        b"PK\x05\x06",
        &[(4, 2), (6, 2), (8, 2), (10, 2), (12, 4), (16, 4), (20, 2)],
    ),
];

fn packed(random: &mut ChaCha8Rng, mut bytes: Vec<u8>) -> Vec<u8> {
    if random.random_range(0..3) == 0 {
        return forged(random);
    }
    let (mark, fields) = one_of(random, &ZIP_FIELDS);
    let places: Vec<usize> = memchr::memmem::find_iter(&bytes, mark).collect();
    if places.is_empty() {
        return bytes;
    }
    let place = *one_of(random, &places);
    let (offset, width) = *one_of(random, fields);
    let range = place + offset..place + offset + width;
    if range.end > bytes.len() {
        return bytes;
    }
    let mut old = [0; 4];
    old[..width].copy_from_slice(&bytes[range.clone()]);
    let old = u32::from_le_bytes(old);
    let new = match random.random_range(0..4) {
        0 => old.wrapping_add(1),
        1 => old.wrapping_sub(1),
        2 => old ^ (1 << random.random_range(0..width as u32 * 8)),
        _ => *one_of(random, &NUMBERS),
    };
    bytes[range].copy_from_slice(&new.to_le_bytes()[..width]);
    bytes
}

/// A pack that somebody made to harm: names, kinds and sizes that lie.
fn forged(random: &mut ChaCha8Rng) -> Vec<u8> {
    const NAMES: [&str; 16] = [
        "set.ron",
        "SET.RON",
        "set.ron ",
        "./set.ron",
        "plates/o1.png",
        "plates/O1.PNG",
        "plates/",
        "../o1.png",
        "/etc/o1.png",
        "C:\\o1.png",
        "plates\\o1.png",
        "plates/../../o1.png",
        "plates/con",
        "history.txt",
        "",
        "plates/\u{202e}gnp.1o",
    ];
    let mut members = vec![Member::stored("set.ron", super::MINIMAL.as_bytes())];
    for _ in 0..random.random_range(0..4) {
        let data = vec![0; random.random_range(0..5_000)];
        let mut member = {
            let name: &str = one_of::<&str>(random, &NAMES);
            Member::stored(name, &data)
        };
        match random.random_range(0..9) {
            0 => member.method = *one_of(random, &[8, 9, 12, 14, 99]),
            1 => member.claimed = *one_of(random, &NUMBERS),
            2 => member.crc ^= 1,
            3 => member.flags = *one_of(random, &[1, 8, 1 << 13, 0xffff]),
            4 => member.attributes = *one_of(random, &[0o120_777, 0o060_644, 0o010_644, 0o040_755]) << 16,
            5 => member.name.push(*one_of(random, &[0, 0xff, b'\n', b'/'])),
            6 => member.name = b"a/".repeat(random.random_range(1..200)),
            _ => {}
        }
        let at = random.random_range(0..=members.len());
        members.insert(at, member);
    }
    zip(&members)
}

fn put(bytes: &mut [u8], at: usize, number: &[u8]) {
    if let Some(place) = bytes.get_mut(at..at + number.len()) {
        place.copy_from_slice(number);
    }
}

fn picture(random: &mut ChaCha8Rng, bytes: Vec<u8>) -> Vec<u8> {
    match bytes.get(..4) {
        Some(b"\x89PNG") => png(random, bytes),
        Some([0xff, 0xd8, ..]) => jpeg(random, bytes),
        Some(b"RIFF") => webp(random, bytes),
        Some(b"II*\0" | b"MM\0*") => tiff(random, bytes),
        _ => any_bytes(random, bytes),
    }
}

/// The chunks of a PNG file: where each starts and how long its data is.
fn png(random: &mut ChaCha8Rng, mut bytes: Vec<u8>) -> Vec<u8> {
    const KINDS: [&[u8; 4]; 10] = [
        b"IHDR", b"PLTE", b"IDAT", b"IEND", b"iCCP", b"eXIf", b"tRNS", b"gAMA", b"acTL", b"zTXt",
    ];
    let mut chunks = Vec::new();
    let mut at = 8;
    while at + 12 <= bytes.len() {
        let length = u32::from_be_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]]) as usize;
        if length > bytes.len() - at - 12 {
            break;
        }
        chunks.push((at, length));
        at += 12 + length;
    }
    if chunks.is_empty() {
        return bytes;
    }
    let (at, length) = *one_of(random, &chunks);
    match random.random_range(0..6) {
        // Width, height, depth, colour, interlacing.
        0 | 1 => put(
            &mut bytes,
            16 + 4 * random.random_range(0..2_usize),
            &one_of(random, &NUMBERS).to_be_bytes(),
        ),
        2 => put(
            &mut bytes,
            24 + random.random_range(0..5_usize),
            &[random.random_range(0..20_u8)],
        ),
        3 => put(&mut bytes, at + 4, *one_of(random, &KINDS)),
        4 => put(&mut bytes, at, &one_of(random, &NUMBERS).to_be_bytes()),
        _ => {
            let chunk = bytes[at..at + 12 + length].to_vec();
            bytes.splice(at..at, chunk);
        }
    }
    // The checks are made good again, or nothing behind them would be reached.
    for (at, length) in chunks {
        if let Some(data) = bytes.get(at + 4..at + 8 + length) {
            let crc = crc32(data);
            put(&mut bytes, at + 8 + length, &crc.to_be_bytes());
        }
    }
    bytes
}

/// The segments of a JPEG file up to its scan.
fn jpeg(random: &mut ChaCha8Rng, mut bytes: Vec<u8>) -> Vec<u8> {
    let mut segments = Vec::new();
    let mut at = 2;
    while at + 4 <= bytes.len() && bytes[at] == 0xff {
        let length = usize::from(u16::from_be_bytes([bytes[at + 2], bytes[at + 3]]));
        segments.push((at, length));
        if bytes[at + 1] == 0xda || at + 2 + length > bytes.len() {
            break;
        }
        at += 2 + length;
    }
    if segments.is_empty() {
        return bytes;
    }
    let (at, length) = *one_of(random, &segments);
    match random.random_range(0..6) {
        0 | 1 => {
            let frame = segments
                .iter()
                .find(|(at, _)| matches!(bytes[at + 1], 0xc0..=0xc2));
            if let Some((at, _)) = frame {
                let number = *one_of(random, &NUMBERS) as u16;
                let place = at + *one_of(random, &[5_usize, 7]);
                put(&mut bytes, place, &number.to_be_bytes());
            }
        }
        2 => put(
            &mut bytes,
            at + 2,
            &(*one_of(random, &NUMBERS) as u16).to_be_bytes(),
        ),
        3 => put(&mut bytes, at + 1, &[random.random_range(0xc0..=0xff)]),
        4 => {
            let place = at + 4 + random.random_range(0..length.max(1));
            put(&mut bytes, place, &[random.random()]);
        }
        _ => {
            let end = (at + 2 + length).min(bytes.len());
            let segment = bytes[at..end].to_vec();
            let times = (*one_of(random, &[1, 2, 30])).min(most_times(segment.len()));
            bytes.splice(at..at, segment.repeat(times));
        }
    }
    bytes
}

fn webp(random: &mut ChaCha8Rng, mut bytes: Vec<u8>) -> Vec<u8> {
    let at = *one_of(random, &[4_usize, 12, 16, 20, 21, 24, 26, 27, 28]);
    let number = one_of(random, &NUMBERS).to_le_bytes();
    let width = *one_of(random, &[1_usize, 2, 4]);
    put(&mut bytes, at, &number[..width]);
    bytes
}

fn tiff(random: &mut ChaCha8Rng, mut bytes: Vec<u8>) -> Vec<u8> {
    let little = bytes.starts_with(b"II");
    let word = |b: [u8; 4]| {
        if little {
            u32::from_le_bytes(b)
        } else {
            u32::from_be_bytes(b)
        }
    };
    let list = bytes.get(4..8).map_or(0, |b| word([b[0], b[1], b[2], b[3]])) as usize;
    // An entry of the list has twelve bytes: tag, type, count, value.
    let entry = list + 2 + 12 * random.random_range(0..16_usize);
    let number = *one_of(random, &NUMBERS);
    let number = if little {
        number.to_le_bytes()
    } else {
        number.to_be_bytes()
    };
    match random.random_range(0..4) {
        0 => put(&mut bytes, entry + 8, &number),
        1 => put(&mut bytes, entry + 4, &number),
        2 => put(&mut bytes, entry + 2, &[random.random_range(0..20_u8)]),
        _ => put(&mut bytes, *one_of(random, &[4, list, entry]), &number),
    }
    bytes
}
