//! `crops`: each feature's crop of the coin and of the plates.

use std::collections::BTreeSet;
use std::io::Cursor;
use std::path::Path;

use serde::Serialize;

use super::arguments::Crops;
use super::error::VerbError;
use super::opened::{Opened, Shelf, open};
use super::{Exit, SetReport, Streams};
use crate::align::Alignment;
use crate::crop::{Crop, CropFrame, cut};
use crate::files;
use crate::flow::{
    LONGEST_CROP_EDGE_PX, StateView, align_photo, align_plate, state_views, zone_frame, zone_transform,
    zone_uncertainty,
};
use crate::reference::{Feature, Side, Zone};

/// What `crops --json` prints.
#[derive(Debug, Serialize)]
struct CropsReport {
    specimen: String,
    set: SetReport,
    out: String,
    px_per_mm: f64,
    crops: Vec<CropReport>,
    missing: Vec<MissingReport>,
}

#[derive(Debug, Serialize)]
struct CropReport {
    file: String,
    side: &'static str,
    feature: String,
    zone: String,
    /// `coin`, `other-coin`, or `plate` with the state, die and plate (from 1) that it shows.
    shows: &'static str,
    state: Option<String>,
    die: Option<String>,
    plate: Option<usize>,
    centre_mm: [f64; 2],
    size_mm: [f64; 2],
    width_px: u32,
    height_px: u32,
    uncertainty_mm: f64,
}

#[derive(Debug, Serialize)]
struct MissingReport {
    side: &'static str,
    feature: String,
    shows: &'static str,
    state: Option<String>,
    reason: String,
}

/// The greatest scale that is cut, in px/mm: some ten times what the best close-up resolves.
const MOST_PX_PER_MM: f64 = 5_000.0;

pub(super) fn crops(arguments: &Crops, streams: &mut Streams) -> Result<Exit, VerbError> {
    let scale = arguments.px_per_mm;
    if !(scale > 0.0 && scale <= MOST_PX_PER_MM) {
        return Err(VerbError::Usage(format!(
            "The scale is {scale} px per mm: give one above 0 and up to {MOST_PX_PER_MM}."
        )));
    }
    if !(0.0..=10.0).contains(&arguments.margin) {
        return Err(VerbError::Usage(format!(
            "The margin is {}: give a share of the zone's size from 0 to 10.",
            arguments.margin
        )));
    }
    let opened = open(&arguments.report.specimen)?;
    streams.notes(opened.notes.iter())?;
    let other = arguments.against.as_deref().map(open).transpose()?;
    if let Some(other) = &other {
        streams.notes(other.notes.iter())?;
        if other.record.set.id != opened.set.id {
            return Err(VerbError::Usage(format!(
                "The coin to compare with is of the set \u{201c}{}\u{201d} and the specimen of \u{201c}{}\u{201d}: \
                 only coins of one set can be laid on each other.",
                other.record.set.title, opened.set.title
            )));
        }
    }
    refuse_too_large(&opened, scale, arguments.margin)?;
    std::fs::create_dir_all(&arguments.out).map_err(|error| {
        VerbError::Unwritable(format!(
            "The folder {} could not be made: {error}; choose another.",
            arguments.out.display()
        ))
    })?;
    let mut cutter = Cutter {
        opened: &opened,
        shelf: Shelf::new(&opened),
        other: other.as_ref().map(|other| (other, Shelf::new(other))),
        out: &arguments.out,
        names: BTreeSet::new(),
        crops: Vec::new(),
        missing: Vec::new(),
    };
    for side in Side::BOTH {
        cutter.side(side, scale, arguments.margin)?;
    }
    let Cutter { crops, missing, .. } = cutter;
    let exit = if missing.is_empty() {
        Exit::Done
    } else {
        Exit::Negative
    };
    let report = CropsReport {
        specimen: arguments.report.specimen.display().to_string(),
        set: SetReport::of(&opened.set),
        out: arguments.out.display().to_string(),
        px_per_mm: scale,
        crops,
        missing,
    };
    if arguments.report.json {
        streams.json(&report)?;
    } else {
        for crop in &report.crops {
            writeln!(streams.out, "{}", arguments.out.join(&crop.file).display())?;
        }
        for missing in &report.missing {
            let state = missing.state.as_ref().map_or_else(
                || missing.shows.replace('-', " "),
                |state| format!("state {state}"),
            );
            writeln!(
                streams.out,
                "missing: {}, feature {}, {state}: {}",
                missing.side, missing.feature, missing.reason
            )?;
        }
    }
    Ok(exit)
}

/// A crop that would be cut short is refused, as its scale would not be the one asked for.
fn refuse_too_large(opened: &Opened, scale: f64, margin: f64) -> Result<(), VerbError> {
    for side in Side::BOTH {
        for zone in &opened.set.side(side).zones {
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

struct Cutter<'a> {
    opened: &'a Opened,
    shelf: Shelf<'a>,
    other: Option<(&'a Opened, Shelf<'a>)>,
    out: &'a Path,
    names: BTreeSet<String>,
    crops: Vec<CropReport>,
    missing: Vec<MissingReport>,
}

impl Cutter<'_> {
    fn side(&mut self, side: Side, scale: f64, margin: f64) -> Result<(), VerbError> {
        let opened = self.opened;
        let reference = opened.set.side(side);
        let alignment = match opened.record.photo(side) {
            Some(photo) => align_photo(&opened.set, side, photo).map_err(|error| error.to_string()),
            None => Err(format!("There is no {} photo yet.", side.word())),
        };
        let other = self.other_alignment(side);
        for feature in &reference.features {
            let Some(zone) = reference.zone(&feature.zone) else {
                let reason = format!("The set has no zone {} on this side.", feature.zone);
                self.miss(side, feature, "coin", None, reason);
                continue;
            };
            let frame = zone_frame(zone, scale, margin);
            match self.coin(side, zone, &frame, &alignment) {
                Ok((crop, uncertainty_mm)) => {
                    let name = format!("{}_{}_coin", side.word(), plain(feature.id.as_str()));
                    let entry = entry(side, feature, &frame, uncertainty_mm);
                    self.write(name, &crop, entry)?;
                }
                Err(reason) => self.miss(side, feature, "coin", None, reason),
            }
            match self.other_coin(side, zone, &frame, alignment.as_ref().ok(), other.as_ref()) {
                Ok(None) => {}
                Ok(Some((crop, uncertainty_mm))) => {
                    let name = format!("{}_{}_other-coin", side.word(), plain(feature.id.as_str()));
                    let entry = CropReport {
                        shows: "other-coin",
                        ..entry(side, feature, &frame, uncertainty_mm)
                    };
                    self.write(name, &crop, entry)?;
                }
                Err(reason) => self.miss(side, feature, "other-coin", None, reason),
            }
            for view in state_views(reference, feature) {
                self.state(side, feature, zone, &view, &frame, alignment.as_ref().ok())?;
            }
        }
        Ok(())
    }

    fn coin(
        &mut self,
        side: Side,
        zone: &Zone,
        frame: &CropFrame,
        alignment: &Result<Alignment, String>,
    ) -> Result<(Crop, f64), String> {
        let alignment = alignment.as_ref().map_err(Clone::clone)?;
        let photo = self
            .opened
            .record
            .photo(side)
            .ok_or_else(|| format!("There is no {} photo yet.", side.word()))?;
        let picture = self.shelf.photo(side)?;
        let crop = cut(&picture, &zone_transform(alignment, photo, zone), frame);
        Ok((crop, zone_uncertainty(alignment, None, zone).radius95_mm))
    }

    /// The other coin's alignment on a side, or why there is none; none where there is no other coin.
    fn other_alignment(&self, side: Side) -> Option<Result<Alignment, String>> {
        let (other, _) = self.other.as_ref()?;
        Some(match other.record.photo(side) {
            Some(photo) => align_photo(&self.opened.set, side, photo).map_err(|error| error.to_string()),
            None => Err(format!("The other coin has no {} photo yet.", side.word())),
        })
    }

    /// The other coin's crop with its uncertainty together with this coin's; none where there is no other coin. Fine
    /// shifts toward plates are left out: each coin has its own.
    fn other_coin(
        &mut self,
        side: Side,
        zone: &Zone,
        frame: &CropFrame,
        coin: Option<&Alignment>,
        aligned: Option<&Result<Alignment, String>>,
    ) -> Result<Option<(Crop, f64)>, String> {
        let (Some((_, shelf)), Some(aligned)) = (&mut self.other, aligned) else {
            return Ok(None);
        };
        let aligned = aligned.as_ref().map_err(Clone::clone)?;
        let crop = cut(&*shelf.photo(side)?, &aligned.picture_from_side, frame);
        Ok(Some((crop, zone_uncertainty(aligned, coin, zone).radius95_mm)))
    }

    fn state(
        &mut self,
        side: Side,
        feature: &Feature,
        zone: &Zone,
        view: &StateView,
        frame: &CropFrame,
        photo: Option<&Alignment>,
    ) -> Result<(), VerbError> {
        let found = self.plate_crop(side, zone, view, frame, photo);
        match found {
            Ok(Some((crop, uncertainty_mm, die, plate))) => {
                let name = format!(
                    "{}_{}_state-{}_plate-{}-{}",
                    side.word(),
                    plain(feature.id.as_str()),
                    plain(view.state.as_str()),
                    plain(&die),
                    plate + 1
                );
                let entry = CropReport {
                    shows: "plate",
                    state: Some(view.state.to_string()),
                    die: Some(die),
                    plate: Some(plate + 1),
                    ..entry(side, feature, frame, uncertainty_mm)
                };
                self.write(name, &crop, entry)
            }
            // Known in words only, which a growing set may be.
            Ok(None) => Ok(()),
            Err(reason) => {
                self.miss(side, feature, "plate", Some(view.state.to_string()), reason);
                Ok(())
            }
        }
    }

    fn plate_crop(
        &mut self,
        side: Side,
        zone: &Zone,
        view: &StateView,
        frame: &CropFrame,
        photo: Option<&Alignment>,
    ) -> Result<Option<(Crop, f64, String, usize)>, String> {
        let Some((die, place)) = &view.plate else {
            return Ok(None);
        };
        let Some(plate) = self.opened.plate(side, die, *place) else {
            return Ok(None);
        };
        let aligned = align_plate(&self.opened.set, side, plate).map_err(|error| error.to_string())?;
        let picture = self.shelf.plate(side, die, *place)?;
        let crop = cut(&picture, &aligned.picture_from_side, frame);
        let uncertainty_mm = match photo {
            Some(photo) => zone_uncertainty(photo, Some(&aligned), zone).radius95_mm,
            None => aligned.uncertainty_at(zone.centre_mm).radius95_mm,
        };
        Ok(Some((crop, uncertainty_mm, die.to_string(), *place)))
    }

    fn write(&mut self, name: String, crop: &Crop, mut entry: CropReport) -> Result<(), VerbError> {
        let mut file = format!("{name}.png");
        let mut number = 2;
        // Names that differ only in what a file's name cannot hold are told apart by a number.
        while !self.names.insert(file.to_lowercase()) {
            file = format!("{name}-{number}.png");
            number += 1;
        }
        let target = self.out.join(&file);
        let unwritable = |reason: String| {
            VerbError::Unwritable(format!(
                "The crop {} could not be written: {reason}.",
                target.display()
            ))
        };
        let mut bytes = Cursor::new(Vec::new());
        crop.pixels
            .write_to(&mut bytes, image::ImageFormat::Png)
            .map_err(|e| unwritable(e.to_string()))?;
        files::replace(&target, bytes.get_ref()).map_err(|error| VerbError::Unwritable(error.to_string()))?;
        entry.file = file;
        self.crops.push(entry);
        Ok(())
    }

    fn miss(
        &mut self,
        side: Side,
        feature: &Feature,
        shows: &'static str,
        state: Option<String>,
        reason: String,
    ) {
        self.missing.push(MissingReport {
            side: side.word(),
            feature: feature.id.to_string(),
            shows,
            state,
            reason,
        });
    }
}

fn entry(side: Side, feature: &Feature, frame: &CropFrame, uncertainty_mm: f64) -> CropReport {
    CropReport {
        file: String::new(),
        side: side.word(),
        feature: feature.id.to_string(),
        zone: feature.zone.to_string(),
        shows: "coin",
        state: None,
        die: None,
        plate: None,
        centre_mm: [frame.centre.x, frame.centre.y],
        size_mm: frame.size_mm().into(),
        width_px: frame.width_px,
        height_px: frame.height_px,
        uncertainty_mm,
    }
}

/// A part of a crop's file name.
fn plain(name: &str) -> String {
    files::plain_name(name, &['.'], "-", "unnamed")
}
