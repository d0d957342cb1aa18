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
use crate::reference::{Side, ZoneId};
use crate::specimen::CannotTell;
use crate::words::{self, capital};

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

/// What is to be said before a verdict is given where the photo does not show what tells, and how to photograph better.
#[must_use]
pub fn warning(state: &ComparePage, scene: &Scene) -> Option<Warning> {
    let quality = state.judged[index(scene.side)].zone(&scene.zone.id)?;
    let doubt = capital(words::doubt(quality)?);
    let (short, said) = words::because(quality, scene.zone.telling_detail_mm)
        .said(format!("{doubt}."), |why| format!("{doubt}: {why}."));
    let full = quality
        .shortcomings
        .iter()
        .take(2)
        .fold(said, |words, shortcoming| format!("{words} {shortcoming}"));
    Some(Warning { short, full })
}
