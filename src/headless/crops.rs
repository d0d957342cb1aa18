//! `crops`: each feature's crop of the coin and of the plates.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use serde_json::{Value, json};

use super::arguments::Crops;
use super::error::VerbError;
use super::{Exit, Streams, open_specimen, set_report};
use crate::crop::{Crop, CropFrame};
use crate::evidence::Prior;
use crate::files::{self, OutKind, Replacing};
use crate::pipeline::{
    LONGEST_CROP_EDGE_PX, Missing, PictureCache, PlateKey, Study, ZoneView, state_views, zone_frame,
};
use crate::reference::{Feature, ReferenceSet, Side, StateId};
use crate::sheet::{encode_png, is_our_png};
use crate::specimen::KEPT_BY;

/// The greatest scale that is cut, in px/mm: some ten times what the best close-up resolves.
const MOST_PX_PER_MM: f64 = 5_000.0;

/// The picture of a crop.
const CROP: OutKind = OutKind {
    endings: &["png"],
    is_ours: is_our_png,
    kept_by: KEPT_BY,
};

pub(super) fn crops(arguments: &Crops, streams: &mut Streams) -> Result<Exit, VerbError> {
    let (scale, margin) = (arguments.px_per_mm, arguments.margin);
    if !(scale > 0.0 && scale <= MOST_PX_PER_MM) {
        return Err(VerbError::Usage(format!(
            "The scale is {scale} px per mm: give one above 0 and up to {MOST_PX_PER_MM}."
        )));
    }
    if !(0.0..=10.0).contains(&margin) {
        return Err(VerbError::Usage(format!(
            "The margin is {margin}: give a share of the zone's size from 0 to 10."
        )));
    }
    let opened = open_specimen(&arguments.report.specimen, streams)?;
    let other = match &arguments.against {
        Some(folder) => Some(open_specimen(folder, streams)?),
        None => None,
    };
    if let Some(other) = other
        .as_ref()
        .filter(|other| other.record.set.id != opened.set.id)
    {
        return Err(VerbError::Usage(format!(
            "The coin to compare with is of the set \u{201c}{}\u{201d} and the specimen of \u{201c}{}\u{201d}: \
             only coins of one set can be laid on each other.",
            other.record.set.title, opened.set.title
        )));
    }
    refuse_too_large(&opened.set, scale, margin)?;
    if Replacing::from(arguments.force) == Replacing::Ours {
        CROP.check_outside(&arguments.out, &arguments.out)?;
    }
    std::fs::create_dir_all(&arguments.out).map_err(|error| {
        VerbError::Unwritable(format!(
            "The folder {} could not be made: {error}; choose another.",
            arguments.out.display()
        ))
    })?;
    let cache = Arc::new(PictureCache::default());
    let album = opened.album(&cache);
    let other_album = other.as_ref().map(|other| other.album(&cache));
    let mut cutter = Cutter {
        study: Study::new(&opened.set, &opened.record, Prior::Equal, &album),
        // The other coin is laid on this one's set, whatever edition its own record was made with.
        other: (other.as_ref().zip(other_album.as_ref()))
            .map(|(other, album)| Study::new(&opened.set, &other.record, Prior::Equal, album)),
        out: &arguments.out,
        replacing: arguments.force.into(),
        names: BTreeSet::new(),
        crops: Vec::new(),
        missing: Vec::new(),
    };
    for side in Side::BOTH {
        for feature in &opened.set.side(side).features {
            cutter.feature(side, feature, scale, margin)?;
        }
    }
    let Cutter { crops, missing, .. } = cutter;
    let exit = if missing.is_empty() {
        Exit::Done
    } else {
        Exit::Negative
    };
    if arguments.report.json {
        streams.json(&json!({
            "specimen": arguments.report.specimen.display().to_string(),
            "set": set_report(&opened.set),
            "out": arguments.out.display().to_string(),
            "px_per_mm": scale,
            "crops": crops.into_iter().map(|(_, report)| report).collect::<Value>(),
            "missing": missing.into_iter().map(|(_, report)| report).collect::<Value>(),
        }))?;
    } else {
        for (file, _) in &crops {
            writeln!(streams.out, "{}", arguments.out.join(file).display())?;
        }
        for (line, _) in &missing {
            writeln!(streams.out, "missing: {line}")?;
        }
    }
    Ok(exit)
}

/// A crop that would be cut short is refused, as its scale would not be the one asked for.
fn refuse_too_large(set: &ReferenceSet, scale: f64, margin: f64) -> Result<(), VerbError> {
    for side in Side::BOTH {
        for zone in &set.side(side).zones {
            let longest_mm = zone.size_mm.0.max(zone.size_mm.1) * (1.0 + 2.0 * margin);
            if longest_mm * scale > f64::from(LONGEST_CROP_EDGE_PX) {
                return Err(VerbError::Usage(format!(
                    "The {} zone {} would be longer than {LONGEST_CROP_EDGE_PX} px: give a smaller scale or margin.",
                    side.word(),
                    zone.id
                )));
            }
        }
    }
    Ok(())
}

/// What a crop shows.
enum Shows<'a> {
    Coin,
    OtherCoin,
    Plate(&'a StateId, &'a PlateKey),
}

impl Shows<'_> {
    fn word(&self) -> &'static str {
        match self {
            Self::Coin => "coin",
            Self::OtherCoin => "other-coin",
            Self::Plate(..) => "plate",
        }
    }

    fn state(&self) -> Option<&str> {
        match self {
            Self::Plate(state, _) => Some(state.as_str()),
            _ => None,
        }
    }

    /// Its part of a file's name.
    fn file_part(&self) -> String {
        match self {
            Self::Plate(state, (_, die, number)) => format!(
                "state-{}_plate-{}-{}",
                plain(state.as_str()),
                plain(die.as_str()),
                number + 1
            ),
            _ => self.word().to_owned(),
        }
    }
}

struct Cutter<'a> {
    study: Study<'a>,
    other: Option<Study<'a>>,
    out: &'a Path,
    replacing: Replacing,
    names: BTreeSet<String>,
    /// The files written, each with its report.
    crops: Vec<(String, Value)>,
    /// What is missing, each in words and with its report.
    missing: Vec<(String, Value)>,
}

impl Cutter<'_> {
    fn feature(&mut self, side: Side, feature: &Feature, scale: f64, margin: f64) -> Result<(), VerbError> {
        let reference = self.study.set.side(side);
        let Some(zone) = reference.zone(&feature.zone) else {
            self.miss(
                side,
                feature,
                &Shows::Coin,
                &Missing::NoZone(feature.zone.clone()),
            );
            return Ok(());
        };
        let frame = zone_frame(zone, scale, margin);
        let coin = self.study.coin(side, zone);
        self.take(side, feature, &Shows::Coin, &frame, coin)?;
        if let Some(other) = &self.other {
            let view = self.study.beside(other, side, zone);
            self.take(side, feature, &Shows::OtherCoin, &frame, view)?;
        }
        for view in state_views(reference, feature) {
            // Without a plate it is known in words only, which a growing set may be.
            if let Some((die, number)) = view.plate {
                let key = (side, die, number);
                let plate = self.study.plate(&key, zone);
                self.take(side, feature, &Shows::Plate(&view.state, &key), &frame, plate)?;
            }
        }
        Ok(())
    }

    /// Writes a crop, or keeps why it is missing.
    fn take(
        &mut self,
        side: Side,
        feature: &Feature,
        shows: &Shows<'_>,
        frame: &CropFrame,
        view: Result<ZoneView, Missing>,
    ) -> Result<(), VerbError> {
        let cut = view.and_then(|view| Ok((view.crop(frame, 0.0)?, view.radius95_mm)));
        let (crop, uncertainty_mm) = match cut {
            Ok(cut) => cut,
            Err(missing) => {
                self.miss(side, feature, shows, &missing);
                return Ok(());
            }
        };
        let name = format!(
            "{}_{}_{}",
            side.word(),
            plain(feature.id.as_str()),
            shows.file_part()
        );
        let file = self.write(&name, &crop)?;
        let plate = match shows {
            Shows::Plate(_, (_, die, number)) => Some((die.to_string(), number + 1)),
            _ => None,
        };
        let report = json!({
            "file": file,
            "side": side.word(),
            "feature": feature.id.to_string(),
            "zone": feature.zone.to_string(),
            "shows": shows.word(),
            "state": shows.state(),
            "die": plate.as_ref().map(|(die, _)| die),
            "plate": plate.as_ref().map(|(_, number)| number),
            "centre_mm": [frame.centre.x, frame.centre.y],
            "size_mm": frame.size_mm(),
            "width_px": frame.width_px,
            "height_px": frame.height_px,
            "uncertainty_mm": uncertainty_mm,
        });
        self.crops.push((file, report));
        Ok(())
    }

    /// Writes a crop under a name that no other has yet, which is returned.
    fn write(&mut self, name: &str, crop: &Crop) -> Result<String, VerbError> {
        let mut file = format!("{name}.png");
        let mut number = 2;
        // Names that differ only in what a file's name cannot hold are told apart by a number.
        while !self.names.insert(file.to_lowercase()) {
            file = format!("{name}-{number}.png");
            number += 1;
        }
        let target = self.out.join(&file);
        CROP.check(&target, self.replacing)?;
        let bytes = encode_png(crop.pixels.as_raw(), crop.pixels.dimensions(), None)?;
        files::replace(&target, &bytes).map_err(|error| VerbError::Unwritable(error.to_string()))?;
        Ok(file)
    }

    fn miss(&mut self, side: Side, feature: &Feature, shows: &Shows<'_>, missing: &Missing) {
        let what = match shows.state() {
            Some(state) => format!("state {state}"),
            None => shows.word().replace('-', " "),
        };
        let line = format!("{}, feature {}, {what}: {missing}", side.word(), feature.id);
        let report = json!({
            "side": side.word(),
            "feature": feature.id.to_string(),
            "shows": shows.word(),
            "state": shows.state(),
            "reason": missing.to_string(),
        });
        self.missing.push((line, report));
    }
}

/// A name with only what any system takes in a file's name, and of bounded length.
fn plain(name: &str) -> String {
    files::plain_name(name, &['.'], "-", "unnamed")
}
