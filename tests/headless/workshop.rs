//! A set, its plates and two photos, drawn from a smooth function of the place on the side.

use std::fs;
use std::path::{Path, PathBuf};

use dietell::geometry::{PictureFromSide, PicturePoint, SidePoint};
use dietell::headless::{Exit, run};
use dietell::reference::Side;
use image::{Rgb, RgbImage};
use tempfile::TempDir;

/// The landmarks of either side, in side mm.
pub const LANDMARKS: [(&str, f64, f64); 5] = [
    ("middle", 0.0, 0.0),
    ("top", 0.0, -9.0),
    ("right", 8.0, 1.0),
    ("foot", 1.0, 9.0),
    ("left", -8.5, 0.5),
];

/// What a verb said.
pub struct Said {
    pub exit: Exit,
    pub out: String,
    pub err: String,
}

impl Said {
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}: {} {}", self.out, self.err))
    }
}

/// A folder for one test with a set, two photos and a table of landmarks in it.
pub struct Workshop {
    folder: TempDir,
}

impl Workshop {
    pub fn new() -> Self {
        let shop = Self {
            folder: tempfile::tempdir().unwrap(),
        };
        fs::create_dir_all(shop.path("set/plates")).unwrap();
        fs::write(shop.path("set/set.ron"), set_text()).unwrap();
        for side in Side::BOTH {
            for die in 1..=2 {
                let name = format!("set/plates/{}-{die}.png", side.word());
                draw(&plate_from_side(), die, (320, 320))
                    .save(shop.path(&name))
                    .unwrap();
            }
            draw(&photo_from_side(side), 1, (500, 460))
                .save(shop.photo(side))
                .unwrap();
        }
        fs::write(shop.path("landmarks.csv"), shop.table()).unwrap();
        shop
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn photo(&self, side: Side) -> PathBuf {
        self.path(&format!("{}.png", side.word()))
    }

    /// The true places of all landmarks.
    pub fn table(&self) -> String {
        let mut table = String::from("side,name,x_px,y_px\n");
        for side in Side::BOTH {
            for (name, x, y) in LANDMARKS {
                let p = photo_from_side(side).point_in_picture(SidePoint::new(x, y));
                table.push_str(&format!("{},{name},{},{}\n", side.word(), p.x, p.y));
            }
        }
        table
    }

    /// Runs a verb in which `@` stands for the workshop's folder.
    pub fn run(&self, line: &str) -> Said {
        self.run_words(&line.split(' ').collect::<Vec<_>>())
    }

    /// As [`Workshop::run`], word by word.
    pub fn run_words(&self, words: &[&str]) -> Said {
        let folder = self.folder.path().to_string_lossy().into_owned();
        let words = words.iter().map(|word| word.replace('@', &folder));
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let exit = run(words, &mut out, &mut err);
        let text = |bytes| String::from_utf8(bytes).unwrap();
        Said {
            exit,
            out: text(out),
            err: text(err),
        }
    }

    /// Starts the specimen `@/coin`.
    pub fn start(&self) {
        let said = self.run(
            "new @/coin --set @/set --obverse @/obverse.png --reverse @/reverse.png --landmarks @/landmarks.csv",
        );
        assert_eq!((said.exit, said.err.as_str()), (Exit::Done, ""), "{}", said.out);
    }
}

/// True transforms: the photos are turned and of different scales, the plates upright.
pub fn photo_from_side(side: Side) -> PictureFromSide {
    match side {
        Side::Obverse => PictureFromSide::similarity(18.0, 33.0, PicturePoint::new(240.0, 228.0)),
        Side::Reverse => PictureFromSide::similarity(17.0, -140.0, PicturePoint::new(251.5, 220.25)),
    }
    .unwrap()
}

pub fn plate_from_side() -> PictureFromSide {
    PictureFromSide::similarity(14.0, 0.0, PicturePoint::new(160.0, 159.0)).unwrap()
}

/// The colour of a place on a side struck by die 1 or 2, so smooth that a crop can be held to it.
pub fn colour(place: SidePoint, die: u32) -> [f64; 3] {
    let phase = f64::from(die) * 1.3;
    [
        128.0 + 90.0 * (0.8 * place.x + phase).sin(),
        128.0 + 90.0 * (0.7 * place.y - phase).cos(),
        128.0 + 60.0 * (0.5 * (place.x + place.y)).sin(),
    ]
}

fn draw(picture_from_side: &PictureFromSide, die: u32, (width, height): (u32, u32)) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        let place = picture_from_side.point_on_side(PicturePoint::new(f64::from(x), f64::from(y)));
        Rgb(colour(place, die).map(|value| value.round() as u8))
    })
}

fn set_text() -> String {
    format!(
        r#"(
  format: 1, id: "workshop", edition: 3, title: "Workshop token",
  measures: (diameter_mm: 22.0, weight_g: 5.0, weight_tolerance_g: 0.1),
  facts: [(id: "date", question: "Which date?", choices: [(value: "1"), (value: "2")])],
  obverse: {}, reverse: {},
  pairings: [
    (catalogue: "W1", obverse: "O1", reverse: "R1", facts: {{"date": ["1"]}}, rarity: "few"),
    (catalogue: "W2", obverse: "O1", reverse: "R2"),
    (catalogue: "W3", obverse: "O2", reverse: "R2", facts: {{"date": ["2"]}}),
  ],
  unlisted: (obverse_die: 0.01, reverse_die: 0.01),
  rarity_bands: [(id: "few", meaning: "Fewer than twenty seen.")],
)
"#,
        side_text("obverse", 'O'),
        side_text("reverse", 'R')
    )
}

fn side_text(side: &str, letter: char) -> String {
    let landmarks: String = LANDMARKS
        .iter()
        .map(|(name, x, y)| format!("(name: \"{name}\", place_mm: ({x:?}, {y:?})), "))
        .collect();
    let on_plate: String = LANDMARKS
        .iter()
        .map(|(name, x, y)| {
            let p = plate_from_side().point_in_picture(SidePoint::new(*x, *y));
            format!("\"{name}\": ({:?}, {:?}), ", p.x, p.y)
        })
        .collect();
    let die = |number: u32, stop: &str, line: &str| {
        format!(
            "(id: \"{letter}{number}\", shows: {{\"stop\": \"{stop}\", \"line\": \"{line}\"}}, \
             plates: [(file: \"plates/{side}-{number}.png\", landmarks: {{{on_plate}}}, source: \"drawn\", \
             rights: \"free\")])"
        )
    };
    format!(
        r#"(
    landmarks: [{landmarks}],
    zones: [
      (id: "east", title: "East", centre_mm: (5.0, 1.0), size_mm: (4.0, 3.0), telling_detail_mm: 0.5),
      (id: "south", title: "South", centre_mm: (-1.0, 6.0), size_mm: (3.0, 3.0), telling_detail_mm: 0.5),
    ],
    features: [
      (id: "stop", question: "Where is the stop?", zone: "east", reliability: 0.95,
       states: [(id: "near", words: "near the letter"), (id: "far", words: "far from it")]),
      (id: "line", question: "Is the line whole?", zone: "south", reliability: 0.93,
       states: [(id: "whole", words: "whole"), (id: "broken", words: "broken"), (id: "none", words: "no line")]),
    ],
    dies: [{}, {}],
  )"#,
        die(1, "near", "whole"),
        die(2, "far", "broken")
    )
}

/// The files of a folder, by name.
pub fn files(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}
