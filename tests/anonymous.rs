//! What is handed on tells nothing of place, time, device and owner. The pictures come from Pillow
//! (`tests/scripts/make_gps_pictures.py`); what is left in them is read by kamadak-exif, which this program does not use.

#![allow(clippy::unwrap_used, reason = "a test that meets an error has failed")]

use std::io::Cursor;
use std::path::{Path, PathBuf};

use dietell::files::Replacing;
use dietell::photo::{AnonymousError, ReadLimits, Watch, anonymous, read_picture, upright_size};
use dietell::reference::pack::pack;
use dietell::reference::{SetError, open_set, parse_set, save_set};

/// What the pictures tell, as bytes that would be found in them: words of the Exif data, of XMP and comments, and the
/// seconds of the latitude as both kinds of fraction that may be written.
const TELLING: [&[u8]; 7] = [
    b"Oltavane",
    b"Pocket 3",
    b"SN-778",
    b"2021:05:04",
    b"GPSLatitude",
    b"xmpmeta",
    b"taken by",
];

fn data(name: &str) -> Vec<u8> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/pictures")
        .join(name);
    std::fs::read(file).unwrap()
}

/// The tags that an independent reader finds.
fn tags(bytes: &[u8]) -> Vec<String> {
    match exif::Reader::new().read_from_container(&mut Cursor::new(bytes)) {
        Ok(exif) => exif.fields().map(|field| field.tag.to_string()).collect(),
        Err(exif::Error::NotFound(_)) => Vec::new(),
        Err(error) => panic!("{error}"),
    }
}

fn holds(bytes: &[u8], words: &[u8]) -> bool {
    memchr::memmem::find(bytes, words).is_some()
}

#[test]
fn a_picture_keeps_its_looks_and_tells_nothing_else() {
    for ending in ["jpg", "png", "webp", "tif"] {
        let original = data(&format!("gps.{ending}"));
        let before = tags(&original);
        for tag in [
            "GPSLatitude",
            "GPSLongitude",
            "Artist",
            "Model",
            "BodySerialNumber",
        ] {
            assert!(
                before.iter().any(|found| found == tag),
                "{ending}: the test's picture lacks {tag}: {before:?}"
            );
        }
        assert!(
            TELLING.iter().filter(|words| holds(&original, words)).count() >= 5,
            "{ending}"
        );
        let made = anonymous(&original).unwrap();
        let after = tags(&made);
        assert!(
            after.iter().any(|tag| tag == "Orientation"),
            "{ending}: {after:?}"
        );
        let private = |tag: &&String| {
            [
                "GPS", "Exif", "Artist", "Make", "Model", "Host", "Date", "Serial", "Interop",
            ]
            .iter()
            .any(|start| tag.contains(start))
        };
        assert_eq!(
            after.iter().filter(private).collect::<Vec<_>>(),
            Vec::<&String>::new(),
            "{ending}"
        );
        for words in TELLING {
            assert!(
                !holds(&made, words),
                "{ending} still tells {:?}",
                String::from_utf8_lossy(words)
            );
        }
        let read = |bytes: &[u8]| {
            let limits = ReadLimits::default();
            read_picture(Path::new("a"), bytes, &limits, &Watch::default()).unwrap()
        };
        let (was, is) = (read(&original), read(&made));
        assert_eq!((is.width(), is.height()), (16, 24), "{ending} is turned upright");
        for (x, y) in (0_i64..16).flat_map(|x| (0_i64..24).map(move |y| (x, y))) {
            assert_eq!(is.pixel(x, y), was.pixel(x, y), "{ending} at {x}, {y}");
        }
        // Once clean it stays as it is, byte for byte.
        assert_eq!(anonymous(&made).unwrap(), made, "{ending}");
    }
}

#[test]
fn turned_and_coloured_pictures_look_as_before() {
    for name in [
        "turn_1.jpg",
        "turn_2.jpg",
        "turn_3.jpg",
        "turn_4.jpg",
        "turn_5.jpg",
        "turn_6.jpg",
        "turn_7.jpg",
        "turn_8.jpg",
        "turn_6.png",
        "turn_6.tif",
        "turn_6.webp",
        "whole_progressive.jpg",
        "colour_display_p3.png",
        "colour_in_jpeg.jpg",
        "colour_in_tiff.tif",
        "colour_in_webp.webp",
        "kind_cmyk.jpg",
        "kind_rgb16.tif",
        "kind_palette.png",
        "kind_alpha.png",
    ] {
        let original = data(name);
        let made = anonymous(&original).unwrap();
        let read = |bytes: &[u8]| {
            let picture =
                read_picture(Path::new(name), bytes, &ReadLimits::default(), &Watch::default()).unwrap();
            let (width, height) = (i64::from(picture.width()), i64::from(picture.height()));
            let pixels = (0..width).flat_map(|x| (0..height).map(move |y| (x, y)));
            let pixels: Vec<_> = pixels.map(|(x, y)| picture.pixel(x, y)).collect();
            (pixels, picture.notes().to_vec())
        };
        assert_eq!(read(&made), read(&original), "{name}");
    }
}

#[test]
fn what_is_no_picture_is_said() {
    assert_eq!(anonymous(b"a text"), Err(AnonymousError::NotAPicture));
    let jpeg = data("gps.jpg");
    assert_eq!(anonymous(&jpeg[..jpeg.len() / 2]), Err(AnonymousError::Damaged));
}

/// A set whose one picture is given.
fn set_with(home: &Path, name: &str, picture: &[u8]) -> PathBuf {
    let folder = home.join(name);
    let mut set = parse_set(include_str!("data/sets/minimal.ron"), Path::new("set.ron")).unwrap();
    for side in dietell::reference::Side::BOTH {
        for die in &mut set.side_mut(side).dies {
            die.plates.truncate(usize::from(die.id.as_str() == "O1"));
        }
    }
    let plate = set.obverse.dies[0].plates[0].file.clone();
    save_set(&folder, &set).unwrap();
    let file = folder.join(&plate);
    std::fs::create_dir_all(file.parent().unwrap()).unwrap();
    std::fs::write(file, picture).unwrap();
    folder
}

#[test]
fn a_pack_tells_nothing_and_the_set_keeps_its_originals() {
    let home = tempfile::tempdir().unwrap();
    for ending in ["jpg", "png", "webp", "tif"] {
        let original = data(&format!("gps.{ending}"));
        let folder = set_with(home.path(), ending, &original);
        let open = open_set(&folder).unwrap();
        let file = home.path().join(format!("{ending}.dieset"));
        let note = pack(&open, &file, Replacing::Ours, &Watch::default())
            .unwrap()
            .unwrap();
        assert!(note.contains("left out of 1 of the pictures"), "{note}");
        let packed = std::fs::read(&file).unwrap();
        for words in TELLING {
            assert!(
                !holds(&packed, words),
                "{ending}: the pack tells {:?}",
                String::from_utf8_lossy(words)
            );
        }
        let plate = &open.set.obverse.dies[0].plates[0];
        assert_eq!(
            upright_size(&open_set(&file).unwrap().source.file_bytes(&plate.file).unwrap()),
            Some((16, 24))
        );
        assert_eq!(open.source.file_bytes(&plate.file).unwrap(), original);
        // When the set comes back its picture is known as the same.
        let merged =
            dietell::reference::merge::merge_open(&open, &open_set(&file).unwrap(), &Watch::default())
                .unwrap();
        assert_eq!(
            (merged.merge.taken.len(), merged.merge.conflicts.len()),
            (0, 0),
            "{ending}"
        );
    }
    let folder = set_with(home.path(), "text", b"a text that is no picture");
    let file = home.path().join("text.dieset");
    let error = pack(
        &open_set(&folder).unwrap(),
        &file,
        Replacing::Ours,
        &Watch::default(),
    )
    .unwrap_err();
    assert!(matches!(error, SetError::PlateKept { .. }), "{error}");
    assert!(!file.exists());
}
