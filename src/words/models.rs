//! The models of an alignment in words.

use crate::geometry::Model;

/// The model's mathematical name, as the sheet and the reports give it.
#[must_use]
pub fn model(model: Model) -> &'static str {
    match model {
        Model::Similarity => "similarity",
        Model::Affine => "affine",
        Model::Homography => "homography",
    }
}

/// The model's everyday name, as a title.
#[must_use]
pub fn model_title(model: Model) -> &'static str {
    match model {
        Model::Similarity => "Similarity",
        Model::Affine => "Affine",
        Model::Homography => "Perspective",
    }
}

/// The model's title with how the camera stood.
#[must_use]
pub fn model_choice(model: Model) -> &'static str {
    match model {
        Model::Similarity => "Similarity (square to the coin)",
        Model::Affine => "Affine (tilted, from afar)",
        Model::Homography => "Perspective (tilted, from near)",
    }
}

/// When a model is the right one.
#[must_use]
pub fn model_explanation(model: Model) -> &'static str {
    match model {
        Model::Similarity => "One scale, a turn and a shift: the camera looked straight down on the coin.",
        Model::Affine => {
            "Also a tilt, with one scale along it and another across it: the camera looked aslant from afar."
        }
        Model::Homography => {
            "Also a tilt from near, where the nearer edge of the coin looks larger (a homography)."
        }
    }
}
