//! Whether a photo can show what a zone asks for, in words.

use crate::align::AlignError;
use crate::crop::{CanJudge, Shortcoming, ZoneQuality};

/// Why a plate is not aligned by the landmarks that the set gives it.
#[must_use]
pub fn plate_not_aligned(error: &AlignError) -> String {
    format!("The set\u{2019}s landmarks do not align this plate. {error}")
}

/// In a word or two, where there is something to say.
#[must_use]
pub fn doubt(quality: &ZoneQuality) -> Option<&'static str> {
    match quality.can_judge {
        CanJudge::Enough => None,
        CanJudge::Marginal => Some("the photo barely shows it"),
        CanJudge::Cannot => Some("this photo cannot show it"),
    }
}

/// Why in a few words, by what is worst.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Because {
    /// It lacks sharpness: what it resolves.
    Sharpness(String),
    /// Something hides the zone, or the picture ends in it; the shortcoming's own sentence says it in full.
    Hidden(String),
    /// Nothing can be said in numbers.
    Unknown,
}

impl Because {
    /// The few words, and what the full saying begins with. A reason of sharpness belongs to both; one that hides the
    /// zone only to the few, as the shortcoming's own sentence follows in full. `with` says the doubt with a reason.
    pub fn said(self, bare: String, with: impl FnOnce(&str) -> String) -> (String, String) {
        match self {
            Because::Sharpness(why) => {
                let short = with(&why);
                (short.clone(), short)
            }
            Because::Hidden(why) => (with(&why), bare),
            Because::Unknown => (bare.clone(), bare),
        }
    }
}

/// Why a zone cannot be judged well.
#[must_use]
pub fn because(quality: &ZoneQuality, telling_detail_mm: f64) -> Because {
    match quality.shortcomings.first() {
        Some(
            hidden @ (Shortcoming::Glare { .. } | Shortcoming::Shadow { .. } | Shortcoming::Outside { .. }),
        ) => Because::Hidden(hidden.what()),
        _ if quality.effective_resolution_mm.is_finite() => Because::Sharpness(format!(
            "it resolves {:.2} mm here, the telling detail is {telling_detail_mm:.2} mm",
            quality.effective_resolution_mm
        )),
        _ => Because::Unknown,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reason_in_few_words_is_what_is_worst() {
        let quality = |shortcomings: Vec<Shortcoming>| ZoneQuality {
            px_per_mm: 85.0,
            blur: None,
            effective_resolution_mm: 0.04,
            clipped_share: 0.0,
            dark_share: 0.0,
            outside_share: 0.0,
            can_judge: CanJudge::Cannot,
            shortcomings,
        };
        let glare = because(&quality(vec![Shortcoming::Glare { share: 0.82 }]), 0.2);
        assert_eq!(glare, Because::Hidden("glare hides 82 % of this zone".to_owned()));
        let blur = because(&quality(vec![Shortcoming::Blur { shows_mm: 0.04 }]), 0.2);
        let words = "it resolves 0.04 mm here, the telling detail is 0.20 mm";
        assert_eq!(blur, Because::Sharpness(words.to_owned()));
    }
}
