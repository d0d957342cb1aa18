//! One side of two coins laid on each other: the spots to look at, how surely they lie, how alike their light is.

use crate::align::{Alignment, Uncertainty, combine};
use crate::crop::{CropFrame, correlation, cut, even_light};
use crate::geometry::{PictureFromSide, SidePoint};
use crate::photo::Picture;
use crate::reference::{ReferenceSet, Side, Zone};
use crate::specimen::Spot;

/// The smallest detail that tells two states of a die apart where the set's zones name none, in mm: the width of a
/// fine crack as a hand lens shows it. Common practice, no source.
const USUAL_DETAIL_MM: f64 = 0.1;

/// A spot as a zone to look at: its middle, size and smallest telling detail, which outside the set's zones is the
/// finest that the side's zones name. None where the set lacks the zone or the place is no part of a coin of this size.
#[must_use]
pub fn spot_zone(set: &ReferenceSet, side: Side, spot: &Spot) -> Option<Zone> {
    let reference = set.side(side);
    let telling_detail_mm = reference
        .zones
        .iter()
        .map(|zone| zone.telling_detail_mm)
        .reduce(f64::min)
        .unwrap_or(USUAL_DETAIL_MM);
    let diameter = set.measures.diameter_mm;
    match spot {
        Spot::Zone(id) => reference.zone(id).cloned(),
        Spot::WholeSide => Some(Zone {
            id: "whole side".into(),
            title: format!("The whole {}", side.word()),
            centre_mm: SidePoint::origin(),
            size_mm: (diameter, diameter),
            height: None,
            telling_detail_mm,
        }),
        Spot::Place {
            title,
            centre_mm,
            size_mm,
        } => {
            let on_coin = centre_mm.to_vector().length() <= diameter;
            let sized = |mm: f64| mm > 0.0 && mm <= 2.0 * diameter;
            (on_coin && sized(size_mm.0) && sized(size_mm.1)).then(|| Zone {
                id: "place".into(),
                title: title.clone(),
                centre_mm: *centre_mm,
                size_mm: *size_mm,
                height: None,
                telling_detail_mm,
            })
        }
    }
}

/// How far a place may be off between two pictures, whose alignments are independent ([`combine`]).
#[must_use]
pub fn uncertainty_between(coin: &Alignment, other: &Alignment, place: SidePoint) -> Uncertainty {
    combine(coin.uncertainty_at(place), other.uncertainty_at(place))
}

/// The scale at which the light of two coins is compared, in px/mm: fine enough for letters and far coarser than any
/// difference of dies or error of alignment.
const LIGHT_PX_PER_MM: f64 = 8.0;

/// The share of the coin's radius on which the light is compared: the rim's bevel is lit otherwise and often missing.
const LIGHT_RADIUS_SHARE: f64 = 0.9;

/// Below this the light falls otherwise on the two coins. Measured on minted coins of one die and of two in the light of
/// a window (tests/alignment/two_coins.rs): 0.86 and more in one light, 0.77 and more with the light 30 degrees round,
/// 0.40 and less from 90 degrees on.
pub const LIGHT_ALIKE_FROM: f64 = 0.55;

/// How alike light and shade fall on one side of two coins, -1 (opposed) to 1: the correlation of their pictures after
/// evening, over the whole side. All dies of a side share the design, so that as a whole it tells of the light, and of
/// wear and blur, but hardly of the die. None where the pictures share too little of the coin.
#[must_use]
pub fn light_likeness(
    coin: (&Picture, &PictureFromSide),
    other: (&Picture, &PictureFromSide),
    diameter_mm: f64,
) -> Option<f64> {
    let edge = (diameter_mm * LIGHT_PX_PER_MM).clamp(16.0, 2048.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped just above"
    )]
    let edge_px = edge as u32;
    let frame = CropFrame {
        centre: SidePoint::origin(),
        px_per_mm: edge / diameter_mm,
        rotation_deg: 0.0,
        width_px: edge_px,
        height_px: edge_px,
    };
    let within = LIGHT_RADIUS_SHARE * diameter_mm / 2.0;
    let cut = |of: (&Picture, &PictureFromSide)| {
        let mut crop = cut(of.0, of.1, &frame);
        for (x, y, pixel) in crop.pixels.enumerate_pixels_mut() {
            let place = frame.point_on_side(crate::geometry::CropPoint::new(f64::from(x), f64::from(y)));
            if place.to_vector().length() > within {
                pixel.0[3] = 0;
            }
        }
        even_light(&crop, 1.0).pixels
    };
    correlation(&cut(coin), &cut(other))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::parse_set;

    fn set() -> ReferenceSet {
        let text = include_str!("../../tests/data/sets/minimal.ron");
        parse_set(text, std::path::Path::new("set.ron")).unwrap()
    }

    fn place(x: f64, size: f64) -> Spot {
        Spot::Place {
            title: "crack".to_owned(),
            centre_mm: SidePoint::new(x, 0.0),
            size_mm: (size, 2.0),
        }
    }

    #[test]
    fn every_spot_is_a_zone_to_look_at() {
        let set = set();
        let finest = set.obverse.zones.iter().map(|z| z.telling_detail_mm);
        let finest = finest.fold(f64::INFINITY, f64::min);
        let whole = spot_zone(&set, Side::Obverse, &Spot::WholeSide).unwrap();
        assert_eq!(whole.size_mm.0, set.measures.diameter_mm);
        let crack = spot_zone(&set, Side::Obverse, &place(3.0, 4.0)).unwrap();
        assert_eq!((crack.centre_mm.x, crack.size_mm), (3.0, (4.0, 2.0)));
        assert_eq!(crack.telling_detail_mm, finest);
        let zone = &set.obverse.zones[0];
        let found = spot_zone(&set, Side::Obverse, &Spot::Zone(zone.id.clone()));
        assert_eq!(found.as_ref(), Some(zone));
        assert_eq!(spot_zone(&set, Side::Obverse, &Spot::Zone("gone".into())), None);
    }

    #[test]
    fn a_place_that_is_no_place_is_none() {
        let set = set();
        for spot in [
            place(f64::NAN, 2.0),
            place(1e9, 2.0),
            place(0.0, f64::NAN),
            place(0.0, -1.0),
            place(0.0, 1e9),
        ] {
            assert_eq!(spot_zone(&set, Side::Obverse, &spot), None, "{spot:?}");
        }
    }
}
