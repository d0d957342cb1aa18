//! What is known of heights above the field: stated in the set, or expected of the coinage's relief.

use crate::reference::{Height, Landmark, Measures, Zone};

/// How far the highest relief stands above the field where the set does not say, in mm: that of a struck coin of 20 to
/// 30 mm. Common practice, no source.
const USUAL_RELIEF_MM: f64 = 0.35;
/// The lowest part of the relief on which a landmark is placed, as a share of the highest. Common practice, no source.
const LOWEST_SHARE: f64 = 0.3;

/// One possible height: how likely it is, its expectation and its standard deviation above the field, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct HeightPart {
    pub(super) share: f64,
    pub(super) mm: f64,
    pub(super) deviation_mm: f64,
}

impl From<Height> for HeightPart {
    fn from(height: Height) -> Self {
        Self {
            share: 1.0,
            mm: height.mm,
            deviation_mm: height.deviation_mm,
        }
    }
}

/// The heights that a coinage's relief leads to expect.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Relief {
    highest_mm: f64,
}

impl Relief {
    /// No relief: every point lies in the plane.
    pub(super) const NONE: Self = Self { highest_mm: 0.0 };

    pub(super) fn of(measures: &Measures) -> Self {
        Self {
            highest_mm: measures.relief_mm.unwrap_or(USUAL_RELIEF_MM).max(0.0),
        }
    }

    /// Of a point on the relief: equally likely anywhere from [`LOWEST_SHARE`] to the top, whose deviation is the span
    /// over the root of 12.
    pub(super) fn surface(self) -> HeightPart {
        HeightPart {
            share: 1.0,
            mm: (1.0 + LOWEST_SHARE) / 2.0 * self.highest_mm,
            deviation_mm: (1.0 - LOWEST_SHARE) / 12.0_f64.sqrt() * self.highest_mm,
        }
    }

    pub(super) fn of_landmark(self, landmark: &Landmark) -> HeightPart {
        landmark.height.map_or(self.surface(), HeightPart::from)
    }

    /// Of a zone whose height is not stated: its telling detail may be on the relief or in the field.
    pub(super) fn of_zone(self, zone: &Zone) -> Vec<HeightPart> {
        if let Some(height) = zone.height {
            return vec![height.into()];
        }
        let field = HeightPart {
            share: 0.5,
            mm: 0.0,
            deviation_mm: 0.0,
        };
        let surface = HeightPart {
            share: 0.5,
            ..self.surface()
        };
        vec![field, surface]
    }
}
