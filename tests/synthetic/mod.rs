//! A tiny coinage and a photo of it with known truth, drawn with a few circles: enough for the window's behaviour,
//! far quicker than a minted coin.
#![allow(dead_code, reason = "each test binary uses a part")]
#![allow(clippy::unwrap_used, reason = "a fixture that cannot be made fails its test")]

use std::path::Path;
use std::sync::Arc;

use dietell::geometry::{PictureFromSide, PicturePoint, SidePoint};
use dietell::photo::Picture;
use dietell::pipeline::OpenedSpecimen;
use dietell::reference::{
    Die, Feature, Landmark, Measures, Pairing, Plate, ReferenceSet, SetSource, Side, SideReference, State,
    Zone, save_set,
};
use dietell::specimen::{SetReference, SpecimenRecord};
use image::{Rgb, RgbImage};

#[path = "../support/numbers.rs"]
mod numbers;
use numbers::least;

/// The coin's diameter in mm.
pub const DIAMETER_MM: f64 = 30.0;

/// The landmarks' names and places in mm.
pub const LANDMARKS: [(&str, f64, f64); 6] = [
    ("Star's tip", 0.0, -11.0),
    ("Stop after A", 10.0, -4.0),
    ("Foot of the 7", 6.0, 9.0),
    ("Corner of the stem", -6.5, 8.5),
    ("Stop before B", -10.5, -3.5),
    ("Middle of the eye", 1.5, 1.0),
];

/// The zones' titles and places in mm.
const ZONES: [(&str, f64, f64); 4] = [
    ("Star", 0.0, -10.0),
    ("Date", 5.0, 8.5),
    ("Leaf", -7.0, 4.0),
    ("Eye", 1.0, 0.5),
];

/// The photo's size in px.
pub const PHOTO_PX: (u32, u32) = (1400, 1050);

/// Where the photo shows the side.
pub fn photo_from_side() -> PictureFromSide {
    PictureFromSide::similarity(30.0, 17.0, PicturePoint::new(720.0, 510.0)).unwrap()
}

/// Where a plate shows the side.
pub fn plate_from_side() -> PictureFromSide {
    PictureFromSide::similarity(18.0, 0.0, PicturePoint::new(300.0, 300.0)).unwrap()
}

fn side() -> SideReference {
    let plate = Plate {
        file: "plates/a.png".to_owned(),
        landmarks: LANDMARKS
            .iter()
            .map(|(name, x, y)| {
                let point = plate_from_side().point_in_picture(SidePoint::new(*x, *y));
                ((*name).into(), point)
            })
            .collect(),
        source: "drawn by the test".to_owned(),
        rights: String::new(),
    };
    let state = |id: &str, words: &str| State {
        id: id.into(),
        words: words.to_owned(),
        stated: None,
    };
    let die = |id: &str, shows: &str, plates: Vec<Plate>| Die {
        id: id.into(),
        note: String::new(),
        shows: ZONES
            .iter()
            .map(|(title, _, _)| ((*title).into(), shows.into()))
            .collect(),
        plates,
    };
    SideReference {
        landmarks: LANDMARKS
            .iter()
            .map(|(name, x, y)| Landmark {
                name: (*name).into(),
                place_mm: SidePoint::new(*x, *y),
                height: None,
                hint: "The middle of the small round dot.".to_owned(),
            })
            .collect(),
        zones: ZONES
            .iter()
            .map(|(title, x, y)| Zone {
                id: (*title).into(),
                title: (*title).to_owned(),
                centre_mm: SidePoint::new(*x, *y),
                size_mm: (5.0, 4.0),
                height: None,
                telling_detail_mm: 0.25,
            })
            .collect(),
        features: ZONES
            .iter()
            .map(|(title, _, _)| Feature {
                id: (*title).into(),
                question: format!("What does the {title} look like?"),
                zone: (*title).into(),
                reliability: 0.9,
                states: vec![state("open", "open"), state("closed", "closed")],
            })
            .collect(),
        dies: vec![die("A", "open", vec![plate]), die("B", "closed", Vec::new())],
    }
}

/// The set.
pub fn set() -> ReferenceSet {
    ReferenceSet {
        format: ReferenceSet::FORMAT,
        id: "test-coinage".to_owned(),
        edition: 1,
        title: "Test coinage".to_owned(),
        about: String::new(),
        measures: Measures {
            diameter_mm: DIAMETER_MM,
            relief_mm: None,
            weight_g: None,
            weight_tolerance_g: None,
            die_axis_deg: None,
        },
        facts: Vec::new(),
        obverse: side(),
        reverse: side(),
        pairings: vec![Pairing {
            catalogue: "1".to_owned(),
            obverse: "A".into(),
            reverse: "A".into(),
            facts: std::collections::BTreeMap::new(),
            rarity: None,
            estimated_known: None,
            note: String::new(),
        }],
        unlisted: dietell::reference::UnlistedShares::default(),
        rarity_bands: Vec::new(),
        price_slope: None,
        cautions: Vec::new(),
    }
}

/// A picture of the coin under a transform: a grey disc with a dot at each landmark.
pub fn picture(size: (u32, u32), from_side: &PictureFromSide) -> RgbImage {
    RgbImage::from_fn(size.0, size.1, |x, y| {
        let place = from_side.point_on_side(PicturePoint::new(f64::from(x), f64::from(y)));
        let radius = place.to_vector().length();
        if radius > DIAMETER_MM / 2.0 {
            return Rgb([58, 64, 72]);
        }
        let dot = least(
            LANDMARKS
                .iter()
                .map(|(_, lx, ly)| (place - SidePoint::new(*lx, *ly)).length()),
        );
        let wave = (place.x * 1.7).sin() * (place.y * 1.3).cos() * 18.0;
        let shade = if dot < 0.35 {
            60.0
        } else if radius > DIAMETER_MM / 2.0 - 0.8 {
            190.0
        } else {
            150.0 + wave
        };
        let [r, g, b] = [shade * 1.02, shade * 0.98, shade * 0.9].map(|v: f64| v.clamp(0.0, 255.0) as u8);
        Rgb([r, g, b])
    })
}

/// The set with its plate in a folder.
pub fn set_in(folder: &Path) -> ReferenceSet {
    std::fs::create_dir_all(folder.join("plates")).unwrap();
    picture((600, 600), &plate_from_side())
        .save(folder.join("plates/a.png"))
        .unwrap();
    let set = set();
    save_set(folder, &set).unwrap();
    set
}

/// A photo file of the coin.
pub fn photo_in(folder: &Path, name: &str) -> std::path::PathBuf {
    std::fs::create_dir_all(folder).unwrap();
    let file = folder.join(name);
    picture(PHOTO_PX, &photo_from_side()).save(&file).unwrap();
    file
}

/// Where a landmark really is on the photo.
pub fn truth(name: &str) -> PicturePoint {
    let (_, x, y) = LANDMARKS.iter().find(|l| l.0 == name).unwrap();
    photo_from_side().point_in_picture(SidePoint::new(*x, *y))
}

/// A specimen that is kept nowhere, its obverse photo to be put on the bench by [`photo`].
pub fn specimen(set_folder: &Path) -> OpenedSpecimen {
    let set = set_in(set_folder);
    let reference = SetReference {
        id: set.id.clone(),
        edition: set.edition,
        title: set.title.clone(),
        place: set_folder.display().to_string(),
    };
    OpenedSpecimen {
        folder: None,
        record: SpecimenRecord::new("Test coin", reference),
        set: Arc::new(set),
        source: Some(SetSource::Folder(set_folder.to_owned())),
        notes: Vec::new(),
    }
}

/// The photo as it is in memory.
pub fn photo() -> Arc<Picture> {
    Arc::new(Picture::new(picture(PHOTO_PX, &photo_from_side())))
}

/// Both sides.
pub const SIDES: [Side; 2] = Side::BOTH;
