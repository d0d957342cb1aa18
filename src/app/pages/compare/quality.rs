//! What the photos give at the zones, and how alike the light falls on two coins: judged by workers, kept until a photo
//! or its alignment changes.

use std::collections::BTreeMap;

use super::ComparePage;
use super::scene::{InView, Scene, Subject};
use super::warning::Warning;
use crate::app::model::action::Action;
use crate::app::model::bench::Derived;
use crate::app::model::comparing::{CompareResult, Judging, Seen};
use crate::app::model::done::Done;
use crate::app::pages::Page;
use crate::crop::{CanJudge, Shortcoming, ZoneQuality, zone_quality};
use crate::pipeline;
use crate::reference::{Side, Zone, ZoneId};
use crate::specimen::{CannotTell, Spot, WhichCoin};
use crate::words::{self, capital};

/// What one photo gives at some zones.
#[derive(Debug, Clone, Default)]
pub struct Judged {
    /// The photo that it was judged from, and the zone where it is one alone.
    of: Option<(Seen, Option<Zone>)>,
    /// What was found, by zone; empty until the worker is done.
    zones: BTreeMap<ZoneId, ZoneQuality>,
}

impl Judged {
    fn is_of(&self, seen: &Seen, only: Option<&Zone>) -> bool {
        self.of
            .as_ref()
            .is_some_and(|(of, zone)| zone.as_ref() == only && of.is_same(seen))
    }

    /// What the photo gives at a zone.
    pub fn zone(&self, zone: &ZoneId) -> Option<&ZoneQuality> {
        self.zones.get(zone)
    }
}

/// How alike the light falls on one side of two coins.
#[derive(Debug, Clone, Default)]
pub struct Light {
    of: Option<[Seen; 2]>,
    similarity: Option<f64>,
}

impl Light {
    fn is_of(&self, coins: &[Seen; 2]) -> bool {
        self.of
            .as_ref()
            .is_some_and(|of| of[0].is_same(&coins[0]) && of[1].is_same(&coins[1]))
    }

    /// Takes in what was found, where the coins are still looked at.
    pub(super) fn take(&mut self, coins: &[Seen; 2], similarity: Option<f64>) {
        if self.is_of(coins) {
            self.similarity = similarity;
        }
    }
}

impl ComparePage {
    fn judged(&self, what: Judging) -> &Judged {
        match what {
            Judging::Side(side) => &self.judged[side],
            Judging::Spot(coin) => &self.judged_at_spot[usize::from(coin == WhichCoin::Other)],
        }
    }

    fn judged_mut(&mut self, what: Judging) -> &mut Judged {
        match what {
            Judging::Side(side) => &mut self.judged[side],
            Judging::Spot(coin) => &mut self.judged_at_spot[usize::from(coin == WhichCoin::Other)],
        }
    }

    /// Takes in what a photo gives, where it is still looked at.
    pub(super) fn take_zones(
        &mut self,
        what: Judging,
        seen: &Seen,
        only: Option<&Zone>,
        zones: BTreeMap<ZoneId, ZoneQuality>,
    ) {
        let judged = self.judged_mut(what);
        if judged.is_of(seen, only) {
            judged.zones = zones;
        }
    }

    /// What your coin's photo of a side gives at a zone of the set.
    #[must_use]
    pub fn quality_at(&self, side: Side, zone: &ZoneId) -> Option<&ZoneQuality> {
        self.judged[side].zone(zone)
    }
}

impl InView<'_, '_> {
    /// What a coin's photo gives at the row.
    pub fn quality(&self, coin: WhichCoin) -> Option<&ZoneQuality> {
        let what = match self.scene.subject {
            Subject::Feature(_) if coin == WhichCoin::Other => return None,
            Subject::Feature(_) => Judging::Side(self.scene.side),
            Subject::Spot(_) => Judging::Spot(coin),
        };
        self.state.judged(what).zone(&self.scene.zone.id)
    }

    /// How alike the light falls on the two coins, where it is known.
    pub fn light_similarity(&self) -> Option<f64> {
        let (coin, other) = self.scene.pair(0)?;
        let light = &self.state.light;
        let is_known = light.is_of(&[coin.clone(), other.clone()]);
        is_known.then_some(light.similarity)?
    }

    /// The reason offered first for not telling: what the worse of the photos suggests, else wear.
    pub fn usual_reason(&self) -> CannotTell {
        let qualities = WhichCoin::BOTH.into_iter().filter_map(|coin| self.quality(coin));
        suggested_reason(qualities.max_by_key(|quality| quality.can_judge))
    }
}

/// Has the set's zones judged anew on a side's photo, where it is not judged as it is.
pub fn judge_side(page: &mut Page<'_>, state: &mut ComparePage, derived: &Derived, side: Side) {
    let seen = match (page.bench.photos[side].picture(), &derived.alignments[side]) {
        (Some(picture), Some(Ok(alignment))) => Some(Seen::whole(picture, alignment)),
        _ => None,
    };
    judge(page, state, Judging::Side(side), seen.as_ref(), None);
}

/// Has both coins judged anew at a spot, and the light on them, where they are not judged as they are.
pub fn judge_spot(page: &mut Page<'_>, state: &mut ComparePage, scene: &Scene) {
    let Subject::Spot(of) = &scene.subject else {
        return;
    };
    let both = scene.pair(0).map(|(coin, other)| [coin.clone(), other.clone()]);
    // A whole side has no one sharpness, and its telling details lie in its parts.
    let judged = both.as_ref().filter(|_| of.spot != Spot::WholeSide);
    for (place, coin) in WhichCoin::BOTH.into_iter().enumerate() {
        let seen = judged.map(|both| &both[place]);
        judge(page, state, Judging::Spot(coin), seen, Some(&scene.zone));
    }
    if let Some(coins) = both.filter(|coins| !state.light.is_of(coins)) {
        judge_light(page, state, coins);
    }
}

fn judge(
    page: &mut Page<'_>,
    state: &mut ComparePage,
    what: Judging,
    seen: Option<&Seen>,
    only: Option<&Zone>,
) {
    let judged = state.judged_mut(what);
    let Some(seen) = seen else {
        *judged = Judged::default();
        return;
    };
    if judged.is_of(seen, only) {
        return;
    }
    let (seen, only) = (seen.clone(), only.cloned());
    *judged = Judged {
        of: Some((seen.clone(), only.clone())),
        zones: BTreeMap::new(),
    };
    let zones: Vec<_> = match (&only, what) {
        (None, Judging::Side(side)) => {
            let photo = page.bench.record().photo(side);
            let zones = page.bench.set.side(side).zones.iter();
            zones
                .map(|zone| {
                    let shift = photo.and_then(|photo| photo.fine_shifts.get(&zone.id));
                    let from_side = pipeline::shifted(&seen.alignment.zone_transform(zone), shift);
                    (zone.clone(), from_side)
                })
                .collect()
        }
        (only, _) => only.iter().map(|zone| (zone.clone(), seen.from_side)).collect(),
    };
    let found = move || {
        let zones = zones
            .into_iter()
            .map(|(zone, from_side)| {
                let quality = zone_quality(&seen.picture, &from_side, &zone);
                (zone.id, quality)
            })
            .collect();
        Done::Compared(CompareResult::Zones(what, seen, only, zones))
    };
    let ticket = match what {
        Judging::Side(_) | Judging::Spot(WhichCoin::This) => Some(&page.bench.ticket),
        Judging::Spot(WhichCoin::Other) => page.bench.other.ticket(),
    };
    let name = format!("compare/quality/{what:?}");
    if let Some(ticket) = ticket.cloned() {
        page.push(Action::quick(name, ticket, found));
    }
}

fn judge_light(page: &mut Page<'_>, state: &mut ComparePage, coins: [Seen; 2]) {
    state.light = Light {
        of: Some(coins.clone()),
        similarity: None,
    };
    let diameter_mm = page.bench.set.measures.diameter_mm;
    let Some(ticket) = page.bench.other.ticket().cloned() else {
        return;
    };
    page.push(Action::slow(ticket, move || {
        let [coin, other] = coins
            .each_ref()
            .map(|seen| (&*seen.picture, &seen.alignment.picture_from_side));
        let similarity = pipeline::light_likeness(coin, other, diameter_mm);
        Done::Compared(CompareResult::Light(coins, similarity))
    }));
}

/// The reason that the photo itself gives for not telling.
fn suggested_reason(quality: Option<&ZoneQuality>) -> CannotTell {
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

/// What is to be said before a verdict where a photo does not show what tells, and how to photograph better; `whose`
/// names the coin where there are two.
#[must_use]
pub fn warning(quality: &ZoneQuality, telling_detail_mm: f64, whose: Option<&str>) -> Option<Warning> {
    let doubt = words::doubt(quality)?;
    let doubt = match whose {
        None => capital(doubt),
        Some(whose) => format!("On {whose}, {doubt}"),
    };
    let (short, said) = words::because(quality, telling_detail_mm)
        .said(format!("{doubt}."), |why| format!("{doubt}: {why}."));
    let full = quality
        .shortcomings
        .iter()
        .take(2)
        .fold(said, |words, shortcoming| format!("{words} {shortcoming}"));
    Some(Warning { short, full })
}
