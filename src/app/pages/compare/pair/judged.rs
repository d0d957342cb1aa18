//! What the two photos give at the spot, and how alike their light is: judged by workers, kept until either changes.

use std::sync::Arc;

use super::scene::PairScene;
use crate::align::Alignment;
use crate::app::model::action::Action;
use crate::app::model::message::Message;
use crate::app::model::page::Page;
use crate::app::pages::compare::ComparePage;
use crate::crop::{ZoneQuality, zone_quality};
use crate::flow;
use crate::photo::Picture;
use crate::reference::{Side, Zone};
use crate::specimen::Spot;

/// The two photos that something was judged from.
#[derive(Debug, Clone)]
struct Photos([(Arc<Picture>, Arc<Alignment>); 2]);

impl Photos {
    fn of(scene: &PairScene) -> Option<Self> {
        let both = scene.both()?;
        Some(Self(both.map(|(p, a)| (Arc::clone(p), Arc::clone(a)))))
    }

    fn same(&self, other: &Self) -> bool {
        self.0
            .iter()
            .zip(&other.0)
            .all(|(a, b)| Arc::ptr_eq(&a.0, &b.0) && (Arc::ptr_eq(&a.1, &b.1) || *a.1 == *b.1))
    }
}

/// What the photos give at one spot.
#[derive(Debug, Clone, Default)]
pub struct Judged {
    of: Option<(Photos, Zone)>,
    found: Option<[ZoneQuality; 2]>,
}

impl Judged {
    fn is_of(&self, photos: &Photos, zone: &Zone) -> bool {
        self.of.as_ref().is_some_and(|(p, z)| z == zone && p.same(photos))
    }

    /// Of your coin and of the other; none until the worker is done, and for the whole side.
    pub fn both(&self) -> [Option<&ZoneQuality>; 2] {
        match &self.found {
            Some([coin, other]) => [Some(coin), Some(other)],
            None => [None, None],
        }
    }
}

/// How alike the light falls on one side of the two coins.
#[derive(Debug, Clone, Default)]
pub struct Light {
    of: Option<(Photos, Side)>,
    likeness: Option<f64>,
}

impl Light {
    fn is_of(&self, photos: &Photos, side: Side) -> bool {
        self.of
            .as_ref()
            .is_some_and(|(p, s)| *s == side && p.same(photos))
    }
}

/// How alike the light falls on the two, where it is known.
pub fn light(state: &ComparePage, scene: &PairScene) -> Option<f64> {
    let photos = Photos::of(scene)?;
    state
        .pair
        .light
        .is_of(&photos, scene.side)
        .then_some(state.pair.light.likeness)?
}

/// Has judged anew what is not of what is in view.
pub fn keep_fresh(page: &mut Page<'_>, state: &mut ComparePage, scene: &PairScene) {
    let Some(photos) = Photos::of(scene) else {
        state.pair.judged = Judged::default();
        return;
    };
    let (side, zone) = (scene.side, scene.zone.clone());
    if !state.pair.judged.is_of(&photos, &zone) {
        state.pair.judged = Judged {
            of: Some((photos.clone(), zone.clone())),
            found: None,
        };
        // A whole side has no one sharpness, and its telling details lie in its parts.
        if scene.spot != Spot::WholeSide {
            let (photos, zone) = (photos.clone(), zone);
            page.actions.push(Action::Quick(
                "compare/pair quality".to_owned(),
                Box::new(move || {
                    let found = photos
                        .0
                        .each_ref()
                        .map(|(picture, a)| zone_quality(picture, &a.picture_from_side, &zone));
                    Message::Then(Box::new(move |window| {
                        let judged = &mut window.pages.compare.pair.judged;
                        if judged.is_of(&photos, &zone) {
                            judged.found = Some(found);
                        }
                    }))
                }),
            ));
        }
    }
    if !state.pair.light.is_of(&photos, side) {
        state.pair.light = Light {
            of: Some((photos.clone(), side)),
            likeness: None,
        };
        let diameter_mm = page.bench.set.measures.diameter_mm;
        page.actions.push(Action::Slow(Box::new(move || {
            let [coin, other] = photos.0.each_ref().map(|(p, a)| (&**p, &a.picture_from_side));
            let likeness = flow::light_likeness(coin, other, diameter_mm);
            Message::Then(Box::new(move |window| {
                let light = &mut window.pages.compare.pair.light;
                if light.is_of(&photos, side) {
                    light.likeness = likeness;
                }
            }))
        })));
    }
}
