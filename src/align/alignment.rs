//! The alignment of one picture: the transform with what is known of its trustworthiness.

use std::collections::BTreeMap;

use nalgebra::{DMatrix, Matrix2};

use super::Rim;
use crate::geometry::{Model, PictureFromSide, PicturePoint, PictureVector, SidePoint};
use crate::reference::{Landmark, LandmarkName};

/// How far the place of a point may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertainty {
    /// Covariance in side mm^2.
    pub covariance_mm2: Matrix2<f64>,
    /// The radius of the disc that holds the true place with 95 % probability, in mm.
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
    #[error("Place {needed} landmarks or more; {given} placed so far.")]
    TooFew {
        /// The least number.
        needed: usize,
        /// How many there are.
        given: usize,
    },
    /// The landmarks do not fix any transform.
    #[error("The placed landmarks coincide or lie on one line: move or add one.")]
    Degenerate,
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
    /// (J^T J)^-1 of the parameters for a noise of 1 px.
    pub unit_covariance: DMatrix<f64>,
}

impl Alignment {
    /// How far a place on the side may be off in this picture.
    #[must_use]
    pub fn uncertainty_at(&self, place: SidePoint) -> Uncertainty {
        let _ = place;
        unimplemented!()
    }
}

/// Aligns a picture by its placed landmarks.
///
/// `hold` keeps a model; otherwise it is chosen by evidence. A rim, where known, lends its centre and scale when
/// landmarks are few.
///
/// # Errors
/// [`AlignError`].
pub fn align(
    landmarks: &[Landmark],
    placed: &BTreeMap<LandmarkName, PicturePoint>,
    rim: Option<&Rim>,
    hold: Option<Model>,
    diameter_mm: f64,
) -> Result<Alignment, AlignError> {
    let _ = (landmarks, placed, rim, hold, diameter_mm);
    unimplemented!()
}
