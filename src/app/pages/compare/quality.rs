//! What the photos give at the zones, and how alike the light falls on two coins: judged by workers, kept until a photo
//! or its alignment changes.

use std::collections::BTreeMap;

use super::scene::{Scene, Seen, Subject};
use super::warning::Warning;
use super::{ComparePage, CompareResult};
use crate::app::model::action::Action;
use crate::app::model::bench::{Derived, index};
use crate::app::model::message::{Job, Message};
use crate::app::model::page::Page;
use crate::crop::{CanJudge, Shortcoming, ZoneQuality, zone_quality};
use crate::flow;
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

/// Which photo is judged where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Judging {
    /// Your coin's photo of a side at the set's zones.
    Side(Side),
    /// A coin's photo at the spot in view.
    Spot(WhichCoin),
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
}

/// What a worker found.
pub enum Quality {
    /// What a photo gives: of which photo, at which zone alone, and the zones.
    Zones(Judging, Seen, Option<Zone>, BTreeMap<ZoneId, ZoneQuality>),
    /// How alike the light falls on two coins.
    Light([Seen; 2], Option<f64>),
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

    /// Takes in what a worker found, where it is still of what is looked at.
    pub(super) fn take_quality(&mut self, quality: Quality) {
        match quality {
            Quality::Zones(what, seen, only, zones) => {
                let judged = self.judged_mut(what);
                if judged.is_of(&seen, only.as_ref()) {
                    judged.zones = zones;
                }
            }
            Quality::Light(coins, similarity) => {
                if self.light.is_of(&coins) {
                    self.light.similarity = similarity;
                }
            }
        }
    }

    /// What a coin's photo gives at the row in view.
    pub(super) fn quality(&self, scene: &Scene, coin: WhichCoin) -> Option<&ZoneQuality> {
        let what = match scene.subject {
            Subject::Feature(_) if coin == WhichCoin::Other => return None,
            Subject::Feature(_) => Judging::Side(scene.side),
            Subject::Spot(_) => Judging::Spot(coin),
        };
        self.judged(what).zone(&scene.zone.id)
    }

    /// The reason offered first for not telling: what the worse of the photos suggests, else wear.
    pub(super) fn usual_reason(&self, scene: &Scene) -> CannotTell {
        let qualities = WhichCoin::BOTH
            .into_iter()
            .filter_map(|coin| self.quality(scene, coin));
        suggested_reason(qualities.max_by_key(|quality| quality.can_judge))
    }
}

/// Has the set's zones judged anew on a side's photo, where it is not judged as it is.
pub fn judge_side(page: &mut Page<'_>, state: &mut ComparePage, derived: &Derived, side: Side) {
    let i = index(side);
    let seen = match (page.bench.photos[i].picture(), &derived.alignments[i]) {
        (Some(picture), Some(Ok(alignment))) => Some(Seen::new(picture, alignment, None)),
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
                    let from_side = flow::shifted(&seen.alignment.picture_from_side, shift);
                    (zone.clone(), from_side)
                })
                .collect()
        }
        (only, _) => only.iter().map(|zone| (zone.clone(), seen.from_side)).collect(),
    };
    let job: Job<Message> = Box::new(move || {
        let found = zones
            .into_iter()
            .map(|(zone, from_side)| {
                let quality = zone_quality(&seen.picture, &from_side, &zone);
                (zone.id, quality)
            })
            .collect();
        CompareResult::Quality(Quality::Zones(what, seen, only, found)).message()
    });
    page.push(Action::Quick(format!("compare/quality/{what:?}"), job));
}

fn judge_light(page: &mut Page<'_>, state: &mut ComparePage, coins: [Seen; 2]) {
    state.light = Light {
        of: Some(coins.clone()),
        similarity: None,
    };
    let diameter_mm = page.bench.set.measures.diameter_mm;
    page.push(Action::Slow(Box::new(move || {
        let [coin, other] = coins
            .each_ref()
            .map(|seen| (&*seen.picture, &seen.alignment.picture_from_side));
        let similarity = flow::light_likeness(coin, other, diameter_mm);
        CompareResult::Quality(Quality::Light(coins, similarity)).message()
    })));
}

/// How alike the light falls on the two coins in view, where it is known.
pub fn light_similarity(state: &ComparePage, scene: &Scene) -> Option<f64> {
    let (coin, other) = scene.pair(0)?;
    let light = &state.light;
    light
        .is_of(&[coin.clone(), other.clone()])
        .then_some(light.similarity)?
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
