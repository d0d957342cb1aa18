//! Measurements on either of two coins.

use egui::{Align2, Painter, RichText, Ui, Vec2};

use super::scene::PairScene;
use crate::app::model::action::Action;
use crate::app::model::page::Page;
use crate::app::pages::compare::ComparePage;
use crate::app::pages::compare::measure::{kind_words, letter, lines, points_needed, value_words};
use crate::app::pages::compare::overlay::{self, CropOnScreen};
use crate::flow::measured_points;
use crate::geometry::SidePoint;
use crate::specimen::{PairMeasurement, WhichCoin};

/// Takes a click on a crop, where a measurement is being taken. The first says which coin is measured.
pub fn point_placed(
    page: &mut Page<'_>,
    state: &mut ComparePage,
    scene: &PairScene,
    on: WhichCoin,
    place: SidePoint,
) {
    let Some(measuring) = &mut state.measuring else {
        return;
    };
    if measuring.points.is_empty() {
        state.pair.measured_on = Some(on);
    }
    measuring.points.push(place);
    if measuring.points.len() < points_needed(measuring.kind) {
        return;
    }
    let on = state.pair.measured_on.take().unwrap_or(on);
    let points_mm = std::mem::take(&mut measuring.points);
    let half_width_95 = scene.both().and_then(|[(_, coin), (_, other)]| {
        let alignment = match on {
            WhichCoin::This => coin,
            WhichCoin::Other => other,
        };
        let diameter_mm = page.bench.set.measures.diameter_mm;
        let value = measured_points(diameter_mm, alignment, measuring.kind, &points_mm)?;
        Some(value.half_width_95())
    });
    let measurement = PairMeasurement {
        spot: scene.spot.clone(),
        on,
        kind: measuring.kind,
        points_mm,
        half_width_95,
    };
    state.measuring = None;
    let (side, named) = (scene.side, scene.named.clone());
    page.actions.push(Action::change("a measurement", move |record| {
        record.compare_with(side, &named, |c| c.measurements.push(measurement));
    }));
}

/// The measurements at the spot with their numbers in the record.
fn of_spot(scene: &PairScene) -> impl Iterator<Item = (usize, &PairMeasurement)> {
    scene
        .comparison
        .iter()
        .flat_map(|c| c.measurements.iter().enumerate())
        .filter(|(_, m)| m.spot.is_same(&scene.spot))
}

/// Draws the values of the measurements kept at the spot.
pub fn measures_ui(ui: &mut Ui, page: &mut Page<'_>, scene: &PairScene) {
    let Some([(_, coin), (_, other)]) = scene.both() else {
        return;
    };
    let diameter_mm = page.bench.set.measures.diameter_mm;
    let values: Vec<(usize, String)> = of_spot(scene)
        .enumerate()
        .filter_map(|(n, (place, m))| {
            let alignment = match m.on {
                WhichCoin::This => coin,
                WhichCoin::Other => other,
            };
            let value = measured_points(diameter_mm, alignment, m.kind, &m.points_mm)?;
            let words = format!(
                "{} {} on {}: {}",
                letter(n),
                kind_words(m.kind),
                m.on.words(),
                value_words(m.kind, &value)
            );
            Some((place, words))
        })
        .collect();
    if values.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        for (place, words) in values {
            ui.label(RichText::new(&words).strong());
            let remove = ui
                .small_button("Remove")
                .accessible_name(format!("Remove {words}"));
            if remove.clicked() {
                let (side, named) = (scene.side, scene.named.clone());
                page.actions
                    .push(Action::change("removing a measurement", move |record| {
                        record.compare_with(side, &named, |c| {
                            if place < c.measurements.len() {
                                c.measurements.remove(place);
                            }
                        });
                    }));
            }
        }
    });
}

/// Draws the measurements kept at the spot over the coin that they were taken on.
pub fn kept(painter: &Painter, scene: &PairScene, on: WhichCoin, crop: &CropOnScreen) {
    for (n, (_, m)) in of_spot(scene).enumerate() {
        if m.on != on {
            continue;
        }
        lines(painter, crop, &m.points_mm);
        if let Some(last) = m.points_mm.last() {
            let at = crop.at(*last) + Vec2::new(9.0, 0.0);
            overlay::label(painter, at, Align2::LEFT_CENTER, &letter(n).to_string());
        }
    }
}
