//! Why a landmark is not snapped.

/// Why a landmark stays where it was clicked. Each message is a sentence for the user.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum SnapRefused {
    /// The patch reaches out of the photo.
    #[error("The landmark stays where you put it: its surroundings reach out of the photo.")]
    OutsidePhoto,
    /// The patch reaches out of the plate.
    #[error("The landmark stays where you put it: its surroundings reach out of the plate.")]
    OutsidePlate,
    /// There is nothing to compare.
    #[error("The landmark stays where you put it: there is too little relief about it to go by.")]
    Empty,
    /// The plate's patch is not there.
    #[error(
        "The landmark stays where you put it: the photo does not look like the plate there ({:.0} % alike).",
        score * 100.0
    )]
    NotAlike {
        /// The best correlation, -1 to 1.
        score: f64,
    },
    /// Parts of the patch lie differently to each other in the photo and in the plate.
    #[error("The landmark stays where you put it: its surroundings do not agree on one position.")]
    NotAgreed,
    /// The parts agree, but no better than a hand places it.
    #[error(
        "The landmark stays where you put it: by the relief its position is known to {:.1} px only, no better than by hand.",
        deviation_px
    )]
    NoBetter {
        /// The standard deviation each way that it would have had, in px.
        deviation_px: f64,
    },
    /// Several positions fit about as well.
    #[error("The landmark stays where you put it: more than one position near it looks the same.")]
    NotDistinct {
        /// The next best position's correlation as a share of the best one's.
        rival: f64,
    },
    /// The best position is as far off as was looked.
    #[error(
        "The landmark stays where you put it: its position may be further off than was looked; click nearer."
    )]
    TooFar,
    /// It was found, but not where the other landmarks allow it.
    #[error("No place is proposed: what looks alike lies where the other landmarks do not allow it.")]
    Disagrees,
}
