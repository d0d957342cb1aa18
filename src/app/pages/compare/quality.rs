//! Whether the photos can show what the zones ask for: judged by a worker, kept until photo or alignment change.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::ComparePage;
use super::scene::Scene;
use super::warning::Warning;
use crate::align::Alignment;
use crate::app::model::action::Action;
use crate::app::model::bench::{Derived, index};
use crate::app::model::message::Message;
use crate::app::model::page::Page;
use crate::crop::{CanJudge, Shortcoming, ZoneQuality, zone_quality};
use crate::flow;
use crate::photo::Picture;
use crate::reference::{Side, ZoneId, capital};
use crate::specimen::CannotTell;

/// What one side's photo gives at its zones.
#[derive(Debug, Clone, Default)]
pub struct Judged {
    /// What it was judged from.
    of: Option<(Arc<Picture>, Arc<Alignment>)>,
    /// What was found, by zone; empty until the worker is done.
    zones: BTreeMap<ZoneId, ZoneQuality>,
}

impl Judged {
    fn is_of(&self, picture: &Arc<Picture>, alignment: &Arc<Alignment>) -> bool {
        self.of
            .as_ref()
            .is_some_and(|(p, a)| Arc::ptr_eq(p, picture) && **a == **alignment)
    }

    /// What the photo gives at a zone.
    pub fn zone(&self, zone: &ZoneId) -> Option<&ZoneQuality> {
        self.zones.get(zone)
    }
}

/// Has the zones of a side judged where that is not of what is on the bench.
pub fn keep_fresh(page: &mut Page<'_>, state: &mut ComparePage, derived: &Derived, side: Side) {
    let i = index(side);
    let (Some(picture), Some(Ok(alignment)), Some(photo)) = (
        page.bench.photos[i].picture(),
        &derived.alignments[i],
        page.bench.record().photo(side),
    ) else {
        state.judged[i] = Judged::default();
        return;
    };
    if state.judged[i].is_of(picture, alignment) {
        return;
    }
    let (picture, alignment, photo) = (Arc::clone(picture), Arc::clone(alignment), photo.clone());
    let set = Arc::clone(&page.bench.set);
    state.judged[i] = Judged {
        of: Some((Arc::clone(&picture), Arc::clone(&alignment))),
        zones: BTreeMap::new(),
    };
    let name = format!("compare/quality/{}", side.word());
    page.actions.push(Action::Quick(
        name,
        Box::new(move || {
            let zones = set
                .side(side)
                .zones
                .iter()
                .map(|zone| {
                    let from_side = flow::zone_transform(&alignment, &photo, zone);
                    (zone.id.clone(), zone_quality(&picture, &from_side, zone))
                })
                .collect();
            Message::Then(Box::new(move |window| {
                let judged = &mut window.pages.compare.judged[i];
                if judged.is_of(&picture, &alignment) {
                    judged.zones = zones;
                }
            }))
        }),
    ));
}

/// The reason that the photo itself gives for not telling.
#[must_use]
pub fn suggested_reason(quality: Option<&ZoneQuality>) -> CannotTell {
    let worst = quality
        .filter(|q| q.can_judge != CanJudge::Enough)
        .and_then(|q| q.shortcomings.first());
    match worst {
        Some(Shortcoming::Scale { .. } | Shortcoming::Blur { .. }) => CannotTell::Blur,
        Some(Shortcoming::Glare { .. } | Shortcoming::Shadow { .. }) => CannotTell::Glare,
        Some(Shortcoming::Outside { .. }) => CannotTell::NotInPhoto,
        Some(Shortcoming::NoEdges) | None => CannotTell::Wear,
    }
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
        ) => {
            let sentence = hidden.to_string();
            // What to do about it follows a colon.
            let what = sentence.split(": ").next().unwrap_or(&sentence);
            let mut letters = what.trim_end_matches('.').chars();
            let first = letters.next().into_iter().flat_map(char::to_lowercase);
            Because::Hidden(first.chain(letters).collect())
        }
        _ if quality.effective_resolution_mm.is_finite() => Because::Sharpness(format!(
            "it resolves {:.2} mm here, the telling detail is {telling_detail_mm:.2} mm",
            quality.effective_resolution_mm
        )),
        _ => Because::Unknown,
    }
}

/// What is to be said before a verdict is given where the photo does not show what tells, and how to photograph better.
#[must_use]
pub fn warning(state: &ComparePage, scene: &Scene) -> Option<Warning> {
    let quality = state.judged[index(scene.side)].zone(&scene.zone.id)?;
    let doubt = capital(doubt(quality)?);
    let (short, said) = because(quality, scene.zone.telling_detail_mm)
        .said(format!("{doubt}."), |why| format!("{doubt}: {why}."));
    let full = quality
        .shortcomings
        .iter()
        .take(2)
        .fold(said, |words, shortcoming| format!("{words} {shortcoming}"));
    Some(Warning { short, full })
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
