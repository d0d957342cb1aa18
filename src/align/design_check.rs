//! Whether the pictures of a side's plates show the same design where their landmarks put it.

use nalgebra::Vector2;

use super::field::Field;
use super::ground::Ground;
use super::local_map::LocalMap;
use super::search::search;
use crate::geometry::{PictureFromSide, SidePoint};
use crate::photo::Picture;

/// The grid on which designs are compared, in nodes per mm: letters show, and what differs from die to die does not.
const NODES_PER_MM: f64 = 5.0;
/// The share of the radius that is compared: beyond it coins wear and flans end.
const COMPARED_SHARE: f64 = 0.85;
/// How far one may lie beside the other, in nodes: more than any alignment is off by.
const REACH: usize = 3;
/// Plates with which each is compared.
const OTHERS: usize = 6;
/// Below this correlation two pictures are not taken to show the same design. A guess: the tests that exchange, mirror and
/// turn pictures of plates hold it, but no distribution of correlations over designs was measured yet.
const ALIKE_FROM: f64 = 0.2;

/// One picture's design: its edge directions on the upright side.
#[derive(Debug, Clone)]
pub struct Design(Field);

/// How a picture departs from the others of its side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unlike {
    /// Mirrored it would be like them.
    Mirrored,
    /// Rotated by half a turn it would be like them.
    UpsideDown,
    /// It shows something else, or its landmarks are not where it shows them.
    Other,
}

impl Design {
    /// The design that a picture shows by its transform. `radius_mm` is the coin's.
    #[must_use]
    pub fn of(picture: &Picture, picture_from_side: &PictureFromSide, radius_mm: f64) -> Self {
        let (step_mm, reach_mm) = (1.0 / NODES_PER_MM, COMPARED_SHARE * radius_mm);
        let (middle, none) = (SidePoint::origin(), Vector2::zeros());
        let ground = Ground::of(picture, picture_from_side, middle, none, reach_mm, step_mm);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a coin's size, clamped"
        )]
        let reach = (reach_mm * NODES_PER_MM).clamp(8.0, 400.0) as usize;
        Self(Field::of_patch(&ground.sample(
            &LocalMap::shifted(none),
            step_mm,
            reach,
        )))
    }

    /// The correlation with another, at best over small shifts.
    fn correlation(&self, other: &Self) -> f64 {
        let half = self.0.width / 2;
        self.0
            .part((half, half), half.saturating_sub(REACH))
            .and_then(|template| search(&template, &other.0, REACH, f64::INFINITY))
            .map_or(0.0, |peak| peak.score)
    }

    /// Left and right exchanged: the doubled angle's sine changes its sign.
    fn mirrored(&self) -> Self {
        let mut field = self.0.clone();
        for row in field.cos.chunks_exact_mut(field.width) {
            row.reverse();
        }
        for row in field.sin.chunks_exact_mut(field.width) {
            row.reverse();
            row.iter_mut().for_each(|v| *v = -*v);
        }
        Self(field)
    }

    /// Rotated by half a turn: directions stay.
    fn inverted(&self) -> Self {
        let mut field = self.0.clone();
        field.cos.reverse();
        field.sin.reverse();
        Self(field)
    }

    fn is_alike(&self, other: &Self) -> bool {
        self.correlation(other) >= ALIKE_FROM
    }
}

/// Compares the designs of a side's plates, none where a plate has none to compare. For each what sets it apart: none
/// for one that is like some other, and for all where there are fewer than two.
#[must_use]
pub fn compare_designs(designs: &[Option<Design>]) -> Vec<Option<Unlike>> {
    let known: Vec<usize> = (0..designs.len()).filter(|i| designs[*i].is_some()).collect();
    let unlike = |index: usize| {
        let own = designs[index].as_ref()?;
        let at = known.iter().position(|i| *i == index)?;
        // The next ones in turn, so that no plate is compared with all of a large set.
        let others: Vec<&Design> = (1..known.len())
            .filter_map(|k| designs[known[(at + k) % known.len()]].as_ref())
            .take(OTHERS)
            .collect();
        if others.is_empty() || others.iter().any(|other| own.is_alike(other)) {
            return None;
        }
        let like_any = |changed: &Design| others.iter().any(|other| changed.is_alike(other));
        Some(if like_any(&own.mirrored()) {
            Unlike::Mirrored
        } else if like_any(&own.inverted()) {
            Unlike::UpsideDown
        } else {
            Unlike::Other
        })
    };
    (0..designs.len()).map(unlike).collect()
}
