//! The demo set and its coins: embedded as they lie in the sources, sound, and ready to open.

use std::path::Path;

use dietell::reference::{
    DemoCoin, SetSource, Side, demo_coins, demo_file, demo_photo, open_set, pack::plate_files, validate,
};
use dietell::specimen::{SpecimenFolder, create_demo_specimen, create_worn_demo_specimen};

use super::numbers::greatest;

fn folder(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("reference").join(name)
}

#[test]
fn the_embedded_set_is_the_one_in_the_sources() {
    let embedded = open_set("demo").unwrap();
    let beside = open_set(folder("demo")).unwrap();
    assert_eq!(embedded.set, beside.set);
    assert_eq!(embedded.source, SetSource::Demo);
    let plates = plate_files(&embedded.set);
    assert!(plates.len() >= 8, "{plates:?}");
    for plate in plates {
        let bytes = std::fs::read(folder("demo").join(plate)).unwrap();
        assert!(demo_file(plate) == Some(bytes.as_slice()), "{plate}");
    }
    assert_eq!(demo_file("plates/none.jpg"), None);
    for (name, bytes) in demo_coins() {
        assert!(
            std::fs::read(folder("demo-coins").join(name)).unwrap() == *bytes,
            "{name}"
        );
    }
}

#[test]
fn the_demo_set_is_sound() {
    let open = open_set("demo").unwrap();
    for finding in validate(&open.set, Some(&open.source)) {
        assert_eq!(finding.severity.word(), "hint", "{finding}");
        println!("{finding}");
    }
}

#[test]
fn the_demo_specimen_is_ready_to_open() {
    let home = tempfile::tempdir().unwrap();
    let open = open_set("demo").unwrap();
    let path = home.path().join("demo coin");
    let made = create_demo_specimen(&path, &open).unwrap();
    let opened = SpecimenFolder::open(&path).unwrap();
    assert_eq!(opened.record, made.record);
    assert_eq!(opened.notices, []);
    assert_eq!(
        opened.folder.open_reference_set(&opened.record.set).unwrap().set,
        open.set
    );
    for side in Side::BOTH {
        let photo = opened.record.photo(side).unwrap();
        let file = opened.folder.photo_path(photo).unwrap();
        assert!(std::fs::read(&file).unwrap() == demo_photo(DemoCoin::Circulated, side).unwrap().1);
        // The size is that of the upright picture.
        let picture = dietell::photo::read_picture_file(
            &file,
            &dietell::photo::ReadLimits::default(),
            &dietell::photo::Watch::default(),
        )
        .unwrap();
        assert_eq!(
            (picture.width(), picture.height()),
            (photo.width_px, photo.height_px)
        );
    }
}

#[test]
fn the_second_demo_coin_comes_aligned() {
    let home = tempfile::tempdir().unwrap();
    let open = open_set(SetSource::DEMO_WORD).unwrap();
    let path = home.path().join("worn");
    create_worn_demo_specimen(&path, &open).unwrap();
    let record = SpecimenFolder::open(&path).unwrap().record;
    for side in Side::BOTH {
        let photo = record.photo(side).unwrap();
        let aligned = dietell::pipeline::align_photo(&open.set, side, photo).unwrap();
        // The table holds the camera's own truth, to a hundredth of a pixel.
        let worst = greatest(aligned.landmarks.iter().map(|l| l.residual_px.length()));
        assert!(
            aligned.landmarks.len() > 10 && worst < 1.0,
            "{side:?}: {worst} px"
        );
    }
}
