//! Whether a zone of a photo can be judged at all: its scale and measured sharpness against the smallest detail that
//! tells, and what glare, shadow and the picture's border take away.

use std::fmt;

use super::{CropFrame, Kernel, cut_picture};
use crate::geometry::{PictureFromSide, SidePoint};
use crate::photo::{EdgeBlur, Exposure, Picture, edge_blur};
use crate::reference::Zone;

/// Whether the zone can show its telling detail.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CanJudge {
    /// It shows the telling detail well.
    Enough,
    /// It shows it barely: a clear difference can be seen, a subtle one not.
    Marginal,
    /// It cannot show it.
    Cannot,
}

/// One thing that stands in the way, each with what to do about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shortcoming {
    /// Too few pixels for the detail.
    Scale {
        /// px/mm of the photo here, in its worse direction.
        has: f64,
        /// px/mm that would show the telling detail well.
        needs: f64,
    },
    /// Enough pixels, but blurred.
    Blur {
        /// The smallest detail that the blur leaves, in mm.
        shows_mm: f64,
    },
    /// No edge in the zone to measure the sharpness on.
    NoEdges,
    /// Glare.
    Glare {
        /// The share of the zone that is clipped.
        share: f64,
    },
    /// Shadow.
    Shadow {
        /// The share of the zone that is dark.
        share: f64,
    },
    /// The picture ends within the zone.
    Outside {
        /// The share of the zone beyond the picture.
        share: f64,
    },
}

impl Shortcoming {
    /// What is wrong, without a capital or a full stop: "glare hides 82 % of this zone".
    #[must_use]
    pub fn what(&self) -> String {
        let percent = |share: f64| (share * 100.0).round().max(1.0);
        match self {
            Self::Scale { has, needs } => {
                format!("the photo has {has:.0} px/mm here and needs {needs:.0}")
            }
            Self::Blur { shows_mm } => {
                format!("the photo is blurred and shows nothing smaller than {shows_mm:.2} mm here")
            }
            Self::NoEdges => "there is no edge here to measure the sharpness on".to_owned(),
            Self::Glare { share } => format!("glare hides {:.0} % of this zone", percent(*share)),
            Self::Shadow { share } => format!("shadow hides {:.0} % of this zone", percent(*share)),
            Self::Outside { share } => {
                format!("{:.0} % of this zone lies outside the photo", percent(*share))
            }
        }
    }

    /// How to photograph better.
    fn remedy(&self) -> &'static str {
        match self {
            Self::Scale { .. } => {
                "go closer, use the camera's macro setting or full resolution, and hold it square to the coin"
            }
            Self::Blur { .. } => {
                "rest the camera on something firm, focus on the coin's surface and use the self-timer"
            }
            Self::NoEdges => "let light fall at a low angle across the coin so that the relief shows",
            Self::Glare { .. } => "soften the light with thin paper, move the lamp or expose less",
            Self::Shadow { .. } => "add light from the other side or expose more",
            Self::Outside { .. } => "take the whole coin into the frame, with a little room around it",
        }
    }
}

impl fmt::Display for Shortcoming {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = self.what();
        let mut letters = what.chars();
        let first = letters.next().into_iter().flat_map(char::to_uppercase);
        let capital: String = first.collect();
        write!(f, "{capital}{}: {}.", letters.as_str(), self.remedy())
    }
}

/// What a photo gives at a zone.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneQuality {
    /// Scale of the photo at the zone's centre in px/mm, in the direction in which it is least.
    pub px_per_mm: f64,
    /// The blur of edges in the zone; None where there are too few.
    pub blur: Option<EdgeBlur>,
    /// The smallest detail that scale and blur leave, in mm.
    pub effective_resolution_mm: f64,
    /// The share of the zone that is clipped, 0 to 1.
    pub clipped_share: f64,
    /// The share of the zone that is lost in shadow, 0 to 1.
    pub dark_share: f64,
    /// The share of the zone that lies outside the picture, 0 to 1.
    pub outside_share: f64,
    /// The verdict.
    pub can_judge: CanJudge,
    /// What stands in the way, the worst first; empty where nothing does.
    pub shortcomings: Vec<Shortcoming>,
}

/// The sampling theorem (C. E. Shannon, Proc. IRE 37(1), 1949, 10-21): a detail narrower than 2 px is not in the
/// picture.
const LEAST_PX_PER_DETAIL: f64 = 2.0;

/// A blur hides what is closer than its full width at half maximum, which for a Gaussian is 2.355 deviations (criterion
/// of W. V. Houston, Phys. Rev. 29, 1927, 478; from memory).
const WIDTH_OF_BLUR: f64 = 2.355;

/// The telling detail must be this many times the effective resolution to be seen well. Common practice, no source.
const WELL_ABOVE: f64 = 1.5;

/// Shares of the zone that may be lost to glare, to shadow or beyond the picture before it is only marginal, and before
/// nothing can be told. By eye, no source.
const LOST_MARGINAL: f64 = 0.08;
/// See [`LOST_MARGINAL`].
const LOST_TOO_MUCH: f64 = 0.35;

/// Samples of the zone along each side for the shares.
const SAMPLES: usize = 96;

/// The patch on which the blur is measured is at most this wide, in px.
const MOST_PATCH_PX: f64 = 512.0;

/// Edges are also looked for this far around the zone, as a share of its size: a zone is small and may hold few.
const PATCH_SPREAD: f64 = 1.5;

/// Judges what `picture` gives at `zone`, before any verdict is given.
#[must_use]
pub fn zone_quality(picture: &Picture, picture_from_side: &PictureFromSide, zone: &Zone) -> ZoneQuality {
    let singular = picture_from_side.jacobian(zone.centre_mm).singular_values();
    let px_per_mm = singular.min();
    let px_per_mm = if px_per_mm.is_finite() { px_per_mm } else { 0.0 };
    let (pixels, outside_share) = samples(picture, picture_from_side, zone);
    let exposure = Exposure::of(pixels.into_iter());
    let blur = if px_per_mm > 0.0 {
        zone_blur(picture, picture_from_side, zone, px_per_mm)
    } else {
        None
    };
    // Scale and blur both widen a detail, and independently: their squares add.
    let blur_px = blur.map_or(0.0, |b| WIDTH_OF_BLUR * b.sharpest_px);
    let effective_resolution_mm = if px_per_mm > 0.0 {
        LEAST_PX_PER_DETAIL.hypot(blur_px) / px_per_mm
    } else {
        f64::INFINITY
    };

    let detail = zone.telling_detail_mm;
    let mut found: Vec<(CanJudge, Shortcoming)> = Vec::new();
    let by_detail = |resolution_mm: f64| match detail / resolution_mm {
        times if times >= WELL_ABOVE => CanJudge::Enough,
        times if times >= 1.0 => CanJudge::Marginal,
        _ => CanJudge::Cannot,
    };
    let by_scale = if px_per_mm > 0.0 {
        by_detail(LEAST_PX_PER_DETAIL / px_per_mm)
    } else {
        CanJudge::Cannot
    };
    let needs = LEAST_PX_PER_DETAIL * WELL_ABOVE / detail;
    found.push((
        by_scale,
        Shortcoming::Scale {
            has: px_per_mm,
            needs,
        },
    ));
    let by_both = by_detail(effective_resolution_mm);
    if by_both > by_scale {
        found.push((
            by_both,
            Shortcoming::Blur {
                shows_mm: effective_resolution_mm,
            },
        ));
    }
    if blur.is_none() && outside_share < LOST_TOO_MUCH {
        found.push((CanJudge::Marginal, Shortcoming::NoEdges));
    }
    let by_share = |share: f64| match share {
        s if s > LOST_TOO_MUCH => CanJudge::Cannot,
        s if s > LOST_MARGINAL => CanJudge::Marginal,
        _ => CanJudge::Enough,
    };
    let (clipped, dark) = (exposure.clipped_share, exposure.dark_share);
    found.push((by_share(clipped), Shortcoming::Glare { share: clipped }));
    found.push((by_share(dark), Shortcoming::Shadow { share: dark }));
    found.push((
        by_share(outside_share),
        Shortcoming::Outside { share: outside_share },
    ));
    found.retain(|(judge, _)| *judge != CanJudge::Enough);
    found.sort_by_key(|(judge, _)| std::cmp::Reverse(*judge));
    ZoneQuality {
        px_per_mm,
        blur,
        effective_resolution_mm,
        clipped_share: clipped,
        dark_share: dark,
        outside_share,
        can_judge: found.first().map_or(CanJudge::Enough, |(judge, _)| *judge),
        shortcomings: found.into_iter().map(|(_, shortcoming)| shortcoming).collect(),
    }
}

/// Full-size pixels on a grid over the zone, and the share of the grid that lies outside the picture.
fn samples(picture: &Picture, picture_from_side: &PictureFromSide, zone: &Zone) -> (Vec<[u8; 3]>, f64) {
    let (width, height) = zone.size_mm;
    let mut pixels = Vec::with_capacity(SAMPLES * SAMPLES);
    for i in 0..SAMPLES * SAMPLES {
        let share = |k: usize| (k as f64 + 0.5) / SAMPLES as f64 - 0.5;
        let offset =
            crate::geometry::SideVector::new(width * share(i % SAMPLES), height * share(i / SAMPLES));
        let position = picture_from_side.point_in_picture(zone.centre_mm + offset);
        // Numbers that are not finite become positions outside.
        let whole = |v: f64| if v.is_finite() { v.round() as i64 } else { -1 };
        if let Some(pixel) = picture.pixel(whole(position.x), whole(position.y)) {
            pixels.push(pixel);
        }
    }
    let outside = 1.0 - pixels.len() as f64 / (SAMPLES * SAMPLES) as f64;
    (pixels, outside)
}

/// The blur of edges in and around the zone, in px of the picture in its worse direction: measured on a crop at the
/// picture's own scale, so that tilt and rotation do not matter.
fn zone_blur(
    picture: &Picture,
    picture_from_side: &PictureFromSide,
    zone: &Zone,
    px_per_mm: f64,
) -> Option<EdgeBlur> {
    let side = |mm: f64| (mm * PATCH_SPREAD * px_per_mm).clamp(48.0, MOST_PATCH_PX) as u32;
    let frame = CropFrame {
        centre: SidePoint::new(zone.centre_mm.x, zone.centre_mm.y),
        px_per_mm,
        // Turned with the photo, so that whole pixels stay whole where the scale is even.
        rotation_deg: picture_from_side.rotation_deg(zone.centre_mm),
        width_px: side(zone.size_mm.0),
        height_px: side(zone.size_mm.1),
    };
    let picture_from_crop = picture_from_side.matrix() * frame.side_from_crop();
    let pixels = cut_picture(
        picture,
        &picture_from_crop,
        frame.width_px,
        frame.height_px,
        Kernel::Cubic,
    );
    edge_blur(&super::light::grey(&pixels))
}
