//! The alignment of one picture: the transform with what is known of its trustworthiness.

use nalgebra::Matrix2;

use super::HELD_PROBABILITY;
use super::belief::Belief;
use super::radius::{Blob, radius_holding};
use super::relief::{HeightPart, Relief};
use crate::geometry::{Model, PictureFromSide, PictureVector, SidePoint};
use crate::reference::{Landmark, LandmarkName, Zone};

/// How far the position of a point may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertainty {
    /// The expected square of the error as a matrix, in side mm^2: spread and possible bias together.
    pub covariance_mm2: Matrix2<f64>,
    /// The radius of the disc that holds the true position with 95 % probability, in mm.
    pub radius95_mm: f64,
}

/// One placed landmark against the fit.
#[derive(Debug, Clone, PartialEq)]
pub struct LandmarkError {
    /// Its name.
    pub name: LandmarkName,
    /// Marked minus fitted, in px.
    pub residual_px: PictureVector,
    /// The length of that on the side, in mm.
    pub residual_mm: f64,
    /// Marked minus fitted by the other landmarks alone, in px; none where the others do not fix the model.
    pub left_out_px: Option<PictureVector>,
    /// Whether it disagrees with the rest more than hand placing explains.
    pub disagrees: bool,
}

/// Something the user should know of the alignment; each is one sentence by `Display`.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Advice {
    /// A landmark disagrees with the rest.
    #[error(
        "The landmark \u{201c}{name}\u{201d} lies {off_px:.1} px from where the others put it: check it."
    )]
    Disagrees {
        /// Which.
        name: LandmarkName,
        /// By how much, in px.
        off_px: f64,
    },
    /// The landmarks are nearly on one line.
    #[error("The landmarks lie nearly on one line: place one well off that line.")]
    NearlyCollinear,
    /// The landmarks are all in one part of the coin.
    #[error(
        "The landmarks are close together: far from them the zones are uncertain; place one across the coin."
    )]
    Clustered,
    /// Some landmark is wrong, and there are too few to tell which.
    #[error(
        "The landmarks do not agree, and too few are placed to tell which is wrong: check each or add one."
    )]
    Disagreement,
    /// A mirrored coin would fit.
    #[error("The landmarks fit a mirrored coin: two of them are swapped, or the photo is mirrored.")]
    Mirrored,
    /// The rim is not where the landmarks put it.
    #[error("The rim does not fit the landmarks: drag it to the coin\u{2019}s edge, or check the landmarks.")]
    RimDisagrees,
    /// The landmark that would help most.
    #[error("Placing \u{201c}{name}\u{201d} next would help most.")]
    PlaceNext {
        /// Which.
        name: LandmarkName,
    },
}

/// Why there is no alignment. Each message is a sentence for the user.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AlignError {
    /// Too few landmarks.
    #[error("Place at least {needed} landmark{plural}; {given} placed so far.", plural = if *needed == 1 { "" } else { "s" })]
    TooFew {
        /// The least number.
        needed: usize,
        /// How many there are.
        given: usize,
    },
    /// The landmarks do not fix any transform.
    #[error("The placed landmarks coincide or lie on one line: move or add one.")]
    Degenerate,
    /// The one landmark is too near the rim's centre to show the rotation.
    #[error("One landmark so near the centre does not show how the coin is turned: place one further out.")]
    NoRotation,
}

/// A picture aligned to its side.
#[derive(Debug, Clone, PartialEq)]
pub struct Alignment {
    /// The model in use.
    pub model: Model,
    /// Whether the user holds the model.
    pub held: bool,
    /// The transform.
    pub picture_from_side: PictureFromSide,
    /// The landmarks' noise in px a coordinate, estimated from the residuals and a prior for hand placing.
    pub noise_px: f64,
    /// The placed landmarks against the fit.
    pub landmarks: Vec<LandmarkError>,
    /// What the user should know, most important first.
    pub advice: Vec<Advice>,
    /// What the landmarks leave possible.
    pub(super) belief: Belief,
    /// The heights to expect where the set states none.
    pub(super) relief: Relief,
    /// How far above the field the plane lies that the transform maps, in mm: the landmarks' mean height.
    pub(super) plane_mm: f64,
}

impl Alignment {
    /// The alignment of a picture whose transform is known without error, as that of a minted one. `radius_mm` is
    /// the coin's.
    #[must_use]
    pub fn certain(picture_from_side: PictureFromSide, radius_mm: f64) -> Self {
        Self {
            model: Model::Homography,
            held: false,
            picture_from_side,
            noise_px: 0.0,
            landmarks: Vec::new(),
            advice: Vec::new(),
            belief: Belief::certain(picture_from_side, radius_mm),
            relief: Relief::NONE,
            plane_mm: 0.0,
        }
    }

    /// How far a position on the relief may be off in this picture.
    ///
    /// The landmarks' noise is known only by their residuals and by how hands place as a rule, the camera's tilt only
    /// as far as the landmarks show it, and heights as the set states them or as its relief leads to expect; all are
    /// weighed, so that the disc holds the true position with 95 % probability with few landmarks too.
    #[must_use]
    pub fn uncertainty_at(&self, position: SidePoint) -> Uncertainty {
        self.uncertainty(position, &[self.relief.surface()])
    }

    /// As [`Alignment::uncertainty_at`] for a landmark, at its own height.
    #[must_use]
    pub fn landmark_uncertainty(&self, landmark: &Landmark) -> Uncertainty {
        self.uncertainty(landmark.place_mm, &[self.relief.of_landmark(landmark)])
    }

    /// As [`Alignment::uncertainty_at`] for a zone's centre, at the zone's height.
    #[must_use]
    pub fn zone_uncertainty(&self, zone: &Zone) -> Uncertainty {
        self.uncertainty(zone.centre_mm, &self.relief.of_zone(zone))
    }

    /// The transform of a plane at the landmark's height.
    #[must_use]
    pub fn landmark_transform(&self, landmark: &Landmark) -> PictureFromSide {
        self.transform_at(&[self.relief.of_landmark(landmark)])
    }

    /// The transform of a plane at the zone's height.
    #[must_use]
    pub fn zone_transform(&self, zone: &Zone) -> PictureFromSide {
        self.transform_at(&self.relief.of_zone(zone))
    }

    fn uncertainty(&self, position: SidePoint, heights: &[HeightPart]) -> Uncertainty {
        let above_plane: Vec<_> = heights
            .iter()
            .map(|h| HeightPart {
                mm: h.mm - self.plane_mm,
                ..*h
            })
            .collect();
        self.belief
            .uncertainty(&self.transform_at(heights), position, &above_plane)
    }

    /// The transform of the plane at the expected height; the alignment's own where it leaves no inverse.
    fn transform_at(&self, heights: &[HeightPart]) -> PictureFromSide {
        let expected_mm: f64 = heights.iter().map(|h| h.share * h.mm).sum();
        let raise = self.belief.raise(expected_mm - self.plane_mm);
        PictureFromSide::new(self.picture_from_side.matrix() * raise).unwrap_or(self.picture_from_side)
    }
}

impl Uncertainty {
    /// No uncertainty at all.
    pub const NONE: Self = Self {
        covariance_mm2: Matrix2::new(0.0, 0.0, 0.0, 0.0),
        radius95_mm: 0.0,
    };

    /// By how much the 95 % radius exceeds that of a Gaussian of the same covariance: below or above 1 where tails
    /// are lighter or heavier.
    fn tail(&self) -> f64 {
        let gaussian = gaussian_radius(&self.covariance_mm2);
        if gaussian > 0.0 {
            self.radius95_mm / gaussian
        } else {
            1.0
        }
    }
}

fn gaussian_radius(covariance_mm2: &Matrix2<f64>) -> f64 {
    radius_holding(
        HELD_PROBABILITY,
        &[Blob::new(1.0, nalgebra::Vector2::zeros(), covariance_mm2)],
    )
}

/// How far a position may be off between a photo and a plate, whose errors are independent.
///
/// The covariances add. The radius is that of a Gaussian of the sum, stretched for tails as each part's own is, in
/// proportion to its share of the variance.
#[must_use]
pub fn combine(photo: Uncertainty, plate: Uncertainty) -> Uncertainty {
    let covariance_mm2 = photo.covariance_mm2 + plate.covariance_mm2;
    let (a, b) = (photo.covariance_mm2.trace(), plate.covariance_mm2.trace());
    if a + b <= 0.0 {
        return Uncertainty::NONE;
    }
    let tail = (photo.tail() * a + plate.tail() * b) / (a + b);
    Uncertainty {
        covariance_mm2,
        radius95_mm: gaussian_radius(&covariance_mm2) * tail,
    }
}
