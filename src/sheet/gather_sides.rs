//! The sides of a sheet: photos brought upright, their files and alignments.

use super::content::{AlignmentContent, LandmarkRow, PhotoFile, SideContent, SidePicture, ZoneMark, ZoneRow};
use super::enlarge::enlargement;
use super::style;
use crate::align::Alignment;
use crate::crop::CropFrame;
use crate::geometry::{SidePoint, SideVector};
use crate::pipeline::{Missing, Study, crop};
use crate::reference::Side;

/// Pixels of a printed picture per mm of paper: 300 dpi.
pub(super) const PX_PER_PAPER_MM: f64 = 300.0 / 25.4;

/// How much of the coin's surroundings a side's picture shows at least and at most: its width over the coin's diameter.
/// Between these it fills its column.
const AROUND: (f64, f64) = (1.03, 1.25);

pub(super) fn side(study: &Study<'_>, side: Side, first_number: usize) -> SideContent {
    let (set, record) = (study.set, study.record);
    let reference = set.side(side);
    let zones = reference
        .zones
        .iter()
        .zip(first_number..)
        .map(|(zone, number)| ZoneMark {
            number,
            title: zone.title.clone(),
            centre: zone.centre_mm,
            size_mm: zone.size_mm,
        })
        .collect();
    SideContent {
        side,
        picture: whole_side(study, side),
        zones,
        photo: record.photo(side).map(|photo| PhotoFile {
            name: photo.shown_name().to_owned(),
            sha256: photo.sha256.clone(),
            size_px: (photo.width_px, photo.height_px),
        }),
        alignment: study
            .computed
            .alignment(side)
            .map(|alignment| alignment_content(study, side, alignment, first_number)),
    }
}

fn whole_side(study: &Study<'_>, side: Side) -> Result<SidePicture, Missing> {
    let picture = study.photo(side)?;
    let alignment = study.computed.alignment(side)?;
    let set = study.set;
    let diameter = set.measures.diameter_mm;
    let room = style::SIDE_PICTURE;
    let least = diameter * AROUND.0;
    let times = enlargement((least, least), (room, room));
    let across = (room / f64::from(times)).min(diameter * AROUND.1);
    let px_per_mm = f64::from(times) * PX_PER_PAPER_MM;
    let px = whole((across * px_per_mm).floor());
    let frame = CropFrame {
        centre: SidePoint::origin(),
        px_per_mm,
        rotation_deg: 0.0,
        width_px: px,
        height_px: px,
    };
    Ok(SidePicture {
        crop: crop(&picture, &alignment.picture_from_side, &frame, 0.0)?.into(),
        enlargement: times,
    })
}

fn alignment_content(
    study: &Study<'_>,
    side: Side,
    alignment: &Alignment,
    first_number: usize,
) -> AlignmentContent {
    let set = study.set;
    let zones = set
        .side(side)
        .zones
        .iter()
        .zip(study.computed.zone_radii_mm[side].iter())
        .zip(first_number..)
        .map(|((zone, &radius95_mm), number)| ZoneRow {
            number,
            title: zone.title.clone(),
            centre: zone.centre_mm,
            px_per_mm: alignment.picture_from_side.px_per_mm(zone.centre_mm),
            radius95_mm,
            telling_detail_mm: zone.telling_detail_mm,
        })
        .collect();
    AlignmentContent {
        diameter_mm: set.measures.diameter_mm,
        model: alignment.model,
        held: alignment.held,
        noise_px: alignment.noise_px,
        px_per_mm: alignment.picture_from_side.px_per_mm(SidePoint::origin()),
        landmarks: alignment
            .landmarks
            .iter()
            .map(|l| {
                let place = set.side(side).landmark(&l.name).map(|landmark| landmark.place_mm);
                LandmarkRow {
                    name: l.name.to_string(),
                    place,
                    residual_px: (l.residual_px.x, l.residual_px.y),
                    residual_mm: l.residual_mm,
                    residual_on_side: place.and_then(|place| {
                        let side_from_photo = alignment.picture_from_side.jacobian(place).try_inverse()?;
                        let v = side_from_photo * nalgebra::Vector2::new(l.residual_px.x, l.residual_px.y);
                        Some(SideVector::new(v.x, v.y))
                    }),
                    left_out_px: l.left_out_px.map(|v| v.length()),
                    disagrees: l.disagrees,
                }
            })
            .collect(),
        advice: alignment.advice.iter().map(ToString::to_string).collect(),
        zones,
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a printed picture is under 3,000 px"
)]
pub(super) fn whole(v: f64) -> u32 {
    v.round().clamp(1.0, 10_000.0) as u32
}
