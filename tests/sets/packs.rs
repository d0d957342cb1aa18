//! Packing, opening and unpacking; packs from strangers.

use std::io::Write;
use std::path::{Path, PathBuf};

use dietell::files::Replacing;
use dietell::photo::{ReadLimits, Watch, read_picture, upright_size};
use dietell::reference::pack::{copy_set, pack};
use dietell::reference::{OpenSet, SetError, SetSource, open_set, save_set, write_set};

use super::zip_by_hand::{Member, end, zip};
use super::{MINIMAL, errors, minimal};

/// The minimal set in a folder with its plate.
pub fn in_folder(folder: &Path) -> OpenSet {
    save_set(folder, &minimal()).unwrap();
    std::fs::create_dir_all(folder.join("plates")).unwrap();
    image::RgbImage::from_fn(400, 400, |x, y| image::Rgb([x as u8, y as u8, (x * y) as u8]))
        .save(folder.join("plates/o1.png"))
        .unwrap();
    open_set(folder).unwrap()
}

/// Everything below a folder with its bytes.
fn contents(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(next) = folders.pop() {
        for entry in std::fs::read_dir(next).unwrap().flatten() {
            if entry.path().is_dir() {
                folders.push(entry.path());
            } else {
                let bytes = std::fs::read(entry.path()).unwrap();
                found.push((entry.path().strip_prefix(folder).unwrap().to_owned(), bytes));
            }
        }
    }
    found.sort();
    found
}

#[test]
fn a_packed_set_opens_and_unpacks_as_it_was() {
    let home = tempfile::tempdir().unwrap();
    let open = in_folder(&home.path().join("set"));
    let before = std::fs::read(home.path().join("set/plates/o1.png")).unwrap();
    let file = home.path().join("kettle.dieset");
    pack(&open, &file, Replacing::Ours, &Watch::default()).unwrap();
    let packed = open_set(&file).unwrap();
    assert_eq!(packed.set, open.set);
    assert_eq!(packed.source, SetSource::Packed(file.clone()));
    let plate = &packed.set.obverse.dies[0].plates[0];
    assert_eq!(packed.source.file_bytes(&plate.file).unwrap(), before);
    assert_eq!(errors(&packed.set, Some(&packed.source)), Vec::<String>::new());

    let copy = copy_set(&packed, &home.path().join("copy"), &Watch::default()).unwrap();
    assert_eq!(copy.set, open.set);
    assert_eq!(copy.source.file_bytes(&plate.file).unwrap(), before);
    // Packing it again gives the same pack, whoever packs it.
    let again = home.path().join("again.dieset");
    pack(&copy, &again, Replacing::Ours, &Watch::default()).unwrap();
    assert_eq!(std::fs::read(&again).unwrap(), std::fs::read(&file).unwrap());
    // The originals are untouched.
    assert_eq!(
        std::fs::read(home.path().join("set/plates/o1.png")).unwrap(),
        before
    );
    assert_eq!(open_set(home.path().join("set")).unwrap().set, minimal());
}

#[test]
fn a_set_is_not_unpacked_over_files() {
    let home = tempfile::tempdir().unwrap();
    let open = in_folder(&home.path().join("set"));
    let target = home.path().join("used");
    std::fs::create_dir(&target).unwrap();
    std::fs::write(target.join("mine.txt"), "mine").unwrap();
    let error = copy_set(&open, &target, &Watch::default()).unwrap_err();
    assert!(matches!(error, SetError::FolderInUse { .. }), "{error}");
    assert_eq!(contents(&target).len(), 1);
}

#[test]
fn a_set_with_a_missing_plate_is_not_packed() {
    let home = tempfile::tempdir().unwrap();
    let open = in_folder(&home.path().join("set"));
    std::fs::remove_file(home.path().join("set/plates/o1.png")).unwrap();
    let file = home.path().join("kettle.dieset");
    let error = pack(&open, &file, Replacing::Ours, &Watch::default()).unwrap_err();
    assert!(matches!(error, SetError::PlateMissing { .. }), "{error}");
    assert!(!file.exists());
    // Nor is an older pack of that name touched.
    std::fs::write(&file, "older").unwrap();
    pack(&open, &file, Replacing::Anything, &Watch::default()).unwrap_err();
    assert_eq!(std::fs::read(&file).unwrap(), b"older");
}

/// A pack written by Python's zipfile (tests/scripts/make_pack.py).
#[test]
fn a_pack_by_another_program_opens() {
    let open = open_set("tests/data/sets/by-python.dieset").unwrap();
    assert_eq!(open.set, minimal());
    let bytes = open
        .source
        .file_bytes(&open.set.obverse.dies[0].plates[0].file)
        .unwrap();
    assert_eq!(bytes, b"not a picture, but these bytes");
}

fn deflated(data: &[u8]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let options =
        zip::write::SimpleFileOptions::default().compression_method(zip::CompressionMethod::Deflated);
    writer.start_file("x", options).unwrap();
    writer.write_all(data).unwrap();
    let zip = writer.finish().unwrap().into_inner();
    // Between the local header (30 bytes and the name) and the list of files.
    let list = zip.windows(4).position(|w| w == b"PK\x01\x02").unwrap();
    let size = u32::from_le_bytes(zip[list + 20..list + 24].try_into().unwrap()) as usize;
    zip[31..31 + size].to_vec()
}

fn set_and(members: Vec<Member>) -> Vec<u8> {
    let mut all = vec![Member::stored("set.ron", MINIMAL.as_bytes())];
    all.extend(members);
    zip(&all)
}

/// Packs that must be refused, each with words that its message must have.
fn hostile_packs() -> Vec<(&'static str, Vec<u8>)> {
    let plate = |name: &str| Member::stored(name, b"x");
    let zeros = vec![0_u8; 50_000_000];
    let bomb = deflated(&zeros);
    let honest = set_and(vec![plate("plates/o1.png")]);
    let mut packs = vec![
        ("leaves the set's folder", set_and(vec![plate("../evil.png")])),
        (
            "leaves the set's folder",
            set_and(vec![plate("plates/../../evil.png")]),
        ),
        (
            "leaves the set's folder",
            set_and(vec![plate("plates\\..\\..\\evil.png")]),
        ),
        ("is absolute", set_and(vec![plate("/tmp/evil.png")])),
        ("is absolute", set_and(vec![plate("C:/evil.png")])),
        (
            "a character that file names may not have",
            set_and(vec![plate("plates/o1\u{0}.png")]),
        ),
        ("kept for a device", set_and(vec![plate("plates/nul.png")])),
        (
            "twice",
            set_and(vec![plate("plates/o1.png"), plate("plates/o1.png")]),
        ),
        (
            "twice",
            set_and(vec![plate("plates/o1.png"), plate("PLATES/O1.PNG")]),
        ),
        ("longer than 200 bytes", set_and(vec![plate(&"x".repeat(500))])),
        (
            "longer than 1000 bytes",
            set_and(vec![plate(&"x".repeat(60_000))]),
        ),
        (
            "no packed set, or is cut short",
            honest[..honest.len() - 10].to_vec(),
        ),
        ("no packed set, or is cut short", Vec::new()),
        ("no packed set, or is cut short", b"PK".to_vec()),
        (
            "no packed set, or is cut short",
            [honest.clone(), b"more".to_vec()].concat(),
        ),
        ("more than 20000 files", end(60_000, 100, 0)),
        ("more than 20000 files", end(1, u32::MAX, 0)),
        ("is damaged", end(1, 46, 0)),
        ("is damaged", [b"something before".to_vec(), honest].concat()),
        ("holds no set.ron", zip(&[plate("plates/o1.png")])),
        ("holds no set.ron", end(0, 0, 0)),
    ];
    let mut odd = plate("plates/o1.png");
    odd.attributes = 0o120_777 << 16;
    packs.push(("is a link", set_and(vec![odd])));
    let mut odd = plate("plates/o1.png");
    odd.flags |= 1;
    packs.push(("locked with a password", set_and(vec![odd])));
    let mut odd = plate("plates/o1.png");
    odd.method = 14;
    packs.push(("compressed in a way", set_and(vec![odd])));
    let mut odd = plate("plates/o1.png");
    odd.name = b"plates/\xff\xfe.png".to_vec();
    packs.push(("is not UTF-8", set_and(vec![odd])));
    // A bomb that owns up to its size, as a picture.
    let mut odd = plate("plates/o1.png");
    (odd.method, odd.claimed, odd.data) = (8, 50_000_000, bomb.clone());
    packs.push(("grow more than 100 times", set_and(vec![odd])));
    // And as the set itself, with a modest claim.
    let mut odd = plate("set.ron");
    (odd.method, odd.claimed, odd.data) = (8, 900_000, bomb);
    packs.push(("is damaged", zip(&[odd])));
    // Two files on the same bytes.
    let mut shared = set_and(vec![plate("plates/o1.png"), plate("plates/o2.png")]);
    let last = shared.windows(4).rposition(|w| w == b"PK\x01\x02").unwrap();
    let first = shared[..last]
        .windows(4)
        .rposition(|w| w == b"PK\x01\x02")
        .unwrap();
    shared.copy_within(first + 42..first + 46, last + 42);
    packs.push(("share the same bytes", shared));
    packs
}

#[test]
fn hostile_packs_are_refused_with_nothing_written() {
    let home = tempfile::tempdir().unwrap();
    for (index, (expected, bytes)) in hostile_packs().into_iter().enumerate() {
        let file = home.path().join(format!("{index}.dieset"));
        std::fs::write(&file, bytes).unwrap();
        let before = contents(home.path());
        let error = open_set(&file).unwrap_err().to_string();
        assert!(error.contains(expected), "{index}: {error}\n{expected}");
        assert!(error.len() < 500, "{error}");
        // Were it opened all the same, unpacking would refuse it, too; a pack that lacks but the set is harmless.
        if expected == "holds no set.ron" {
            continue;
        }
        let open = OpenSet {
            set: minimal(),
            source: SetSource::Packed(file.clone()),
            note: None,
        };
        assert!(
            copy_set(&open, &home.path().join("target"), &Watch::default()).is_err(),
            "{index}"
        );
        assert!(
            open.source
                .file_bytes(&open.set.obverse.dies[0].plates[0].file)
                .is_err(),
            "{index}"
        );
        assert_eq!(contents(home.path()), before, "{index}");
        std::fs::remove_file(&file).unwrap();
    }
}

/// The claims in the list are believed only as far as the bytes bear them out.
#[test]
fn a_plate_that_lies_about_its_size_is_refused_when_read() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("lying.dieset");
    let long = vec![7_u8; 300_000];
    let mut lies = Vec::new();
    for (claimed, data, method) in [
        (10, deflated(&long), 8),
        (400_000, deflated(&long), 8),
        (5, b"only three".to_vec(), 0),
        (300_000, vec![0xff; 3000], 8),
    ] {
        let mut lie = Member::stored("plates/o1.png", &data);
        (lie.method, lie.claimed) = (method, claimed);
        lies.push(lie);
    }
    let mut wrong_sum = Member::stored("plates/o1.png", b"these bytes");
    wrong_sum.crc ^= 1;
    lies.push(wrong_sum);
    for lie in lies {
        let claimed = lie.claimed;
        std::fs::write(&file, set_and(vec![lie])).unwrap();
        // The set itself is fine, so the pack may open; the plate is refused.
        let Ok(open) = open_set(&file) else { continue };
        let error = open
            .source
            .file_bytes(&open.set.obverse.dies[0].plates[0].file)
            .unwrap_err();
        assert!(matches!(error, SetError::Pack { .. }), "{claimed}: {error}");
        let target = home.path().join("target");
        assert!(
            copy_set(&open, &target, &Watch::default()).is_err() && !target.exists(),
            "{claimed}"
        );
        assert_eq!(
            std::fs::read_dir(home.path()).unwrap().count(),
            1,
            "something was left behind"
        );
    }
}

#[test]
fn a_set_in_a_pack_may_not_name_plates_outside_it() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("climbing.dieset");
    let mut set = minimal();
    for path in ["../../etc/hostname", "/etc/hostname", "plates/none.png"] {
        path.clone_into(&mut set.obverse.dies[0].plates[0].file);
        let text = write_set(&set).unwrap();
        std::fs::write(&file, zip(&[Member::stored("set.ron", text.as_bytes())])).unwrap();
        let open = open_set(&file).unwrap();
        let target = home.path().join("target");
        assert!(
            open.source
                .file_bytes(&open.set.obverse.dies[0].plates[0].file)
                .is_err()
        );
        assert!(copy_set(&open, &target, &Watch::default()).is_err() && !target.exists());
    }
}

#[test]
fn a_picture_that_claims_to_be_huge_is_found() {
    let home = tempfile::tempdir().unwrap();
    let open = in_folder(home.path());
    // A PNG's header: width and height are at bytes 16 to 23, their sum at 29 (PNG specification, sec. 11.2.1).
    let mut png = std::fs::read(home.path().join("plates/o1.png")).unwrap();
    for at in [16, 20] {
        png[at..at + 4].copy_from_slice(&60_000_u32.to_be_bytes());
    }
    let sum = super::zip_by_hand::crc32(&png[12..29]);
    png[29..33].copy_from_slice(&sum.to_be_bytes());
    std::fs::write(home.path().join("plates/o1.png"), png).unwrap();
    let found = errors(&open.set, Some(&open.source));
    assert!(
        found.iter().any(|f| f.contains("claims 60000 x 60000 px")),
        "{found:?}"
    );
}

#[test]
fn work_that_is_stopped_leaves_nothing_behind() {
    let home = tempfile::tempdir().unwrap();
    let open = in_folder(&home.path().join("set"));
    let before = contents(home.path());
    let stopped = Watch::default();
    stopped.cancel();
    let error = pack(
        &open,
        &home.path().join("kettle.dieset"),
        Replacing::Ours,
        &stopped,
    )
    .unwrap_err();
    assert_eq!(error, SetError::Stopped);
    let error = copy_set(&open, &home.path().join("copy"), &stopped).unwrap_err();
    assert_eq!(error, SetError::Stopped);
    assert_eq!(contents(home.path()), before);
    assert!(!home.path().join("copy").exists());
}

#[test]
fn a_pictures_size_is_read_from_the_start_of_its_file() {
    let home = tempfile::tempdir().unwrap();
    let open = in_folder(&home.path().join("set"));
    let plate = &open.set.obverse.dies[0].plates[0].file;
    assert_eq!(
        open.source.files().unwrap().picture_size(plate).unwrap(),
        Some((400, 400))
    );
    // What follows the head is not looked at: that it is read at all would show here.
    let file = home.path().join("set").join(plate);
    let large = image::RgbImage::from_fn(900, 600, |x, y| {
        image::Rgb([x as u8, (x * y) as u8, (x ^ (y * 31)) as u8])
    });
    for ending in ["jpg", "png", "tif", "webp"] {
        let named = home.path().join(format!("large.{ending}"));
        large.save(&named).unwrap();
        std::fs::copy(&named, &file).unwrap();
        assert_eq!(
            open.source.files().unwrap().picture_size(plate).unwrap(),
            Some((900, 600)),
            "{ending}"
        );
    }
    let png = std::fs::read(home.path().join("large.png")).unwrap();
    assert!(png.len() > 400_000, "{}", png.len());
    std::fs::write(&file, &png[..300_000]).unwrap();
    assert_eq!(
        open.source.files().unwrap().picture_size(plate).unwrap(),
        Some((900, 600))
    );
    std::fs::write(&file, "no picture").unwrap();
    assert_eq!(open.source.files().unwrap().picture_size(plate).unwrap(), None);
}

#[test]
fn a_broken_turn_flag_leaves_a_picture_its_size() {
    let mut bytes = include_bytes!("../data/pictures/turn_6.webp").to_vec();
    let turned = upright_size(&bytes).unwrap();
    // The list of entries is said to begin far behind the end.
    let flag = bytes.windows(4).position(|four| four == b"EXIF").unwrap();
    let offset = flag
        + 8
        + bytes[flag + 8..]
            .windows(2)
            .position(|two| two == b"MM" || two == b"II")
            .unwrap()
        + 4;
    bytes[offset..offset + 4].copy_from_slice(&[0x7f; 4]);
    let picture = read_picture(
        Path::new("a.webp"),
        &bytes,
        &ReadLimits::default(),
        &Watch::default(),
    )
    .unwrap();
    let size = (picture.width(), picture.height());
    assert_eq!(upright_size(&bytes), Some(size));
    assert_eq!(size, (turned.1, turned.0), "the flag is not believed");
}
