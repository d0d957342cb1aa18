//! Measuring on the crops: points placed in any cell, values against what the set states.

use egui::{Align2, Color32, Painter, RichText, Stroke, Ui, Vec2};

use super::marks::{Mark, down};
use super::model::stated_words;
use super::overlay::{self, CropOnScreen};
use super::scene::{Coin, Scene};
use crate::align::Alignment;
use crate::app::model::action::Action;
use crate::app::model::page::Page;
use crate::app::pages::compare::{Beside, ComparePage};
use crate::crop::Measured;
use crate::flow::{FITS_WITHIN_SIGMAS, measured, sigmas_from_stated};
use crate::geometry::SidePoint;
use crate::specimen::{MeasureKind, Measurement};

/// A measurement being taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Measuring {
    /// What.
    pub kind: MeasureKind,
    /// The points placed so far, in side mm.
    pub points: Vec<SidePoint>,
}

impl Default for Measuring {
    fn default() -> Self {
        Self {
            kind: MeasureKind::Distance,
            points: Vec::new(),
        }
    }
}

const KINDS: [MeasureKind; 3] = [MeasureKind::Distance, MeasureKind::Height, MeasureKind::Angle];

pub(super) fn points_needed(kind: MeasureKind) -> usize {
    match kind {
        MeasureKind::Distance | MeasureKind::Height => 2,
        MeasureKind::Angle => 3,
    }
}

pub(super) fn kind_words(kind: MeasureKind) -> &'static str {
    match kind {
        MeasureKind::Distance => "distance",
        MeasureKind::Height => "height",
        MeasureKind::Angle => "angle",
    }
}

fn next_point_words(measuring: &Measuring, beside: Beside) -> String {
    let on = match beside {
        Beside::Plates => "on your coin",
        Beside::OtherCoin => "on either coin",
    };
    match (measuring.kind, measuring.points.len()) {
        (MeasureKind::Angle, 0) => format!("click the end of one arm {on}"),
        (MeasureKind::Angle, 1) => "click the corner".to_owned(),
        (MeasureKind::Angle, _) => "click the end of the other arm".to_owned(),
        (_, 0) => format!("click the first point {on}"),
        (_, _) => "click the second point".to_owned(),
    }
}

/// Draws the button that begins a measurement, or what to do next.
/// `stated` is what the set states a measure of, to be measured alike.
pub fn measure_button_ui(ui: &mut Ui, state: &mut ComparePage, ready: bool, stated: Option<&str>) {
    match &state.measuring {
        None => {
            ui.add_enabled_ui(ready, |ui| {
                let menu = ui.menu_button(("Measure", down()), |ui| {
                    for kind in KINDS {
                        let name = format!("Measure {}", with_article(kind));
                        if ui.button(name).clicked() {
                            state.measuring = Some(Measuring {
                                kind,
                                points: Vec::new(),
                            });
                            ui.close();
                        }
                    }
                });
                menu.response
                    .on_hover_text("Measures on the crops in mm or degrees. Key M begins a distance.");
            });
        }
        Some(measuring) => {
            let words = format!(
                "{}: {}",
                kind_words(measuring.kind),
                next_point_words(measuring, state.beside)
            );
            ui.label(RichText::new(words).strong());
            if let Some(what) = stated.filter(|what| !what.is_empty()) {
                // What is left of the row, and no more: the crops must not move under the hand.
                let room = ui.available_size_before_wrap().x - 130.0;
                let words = format!("(the set states: {what})");
                let label = egui::Label::new(RichText::new(&words).weak()).truncate();
                ui.allocate_ui(Vec2::new(room.max(40.0), 20.0), |ui| ui.add(label));
            }
            if ui.button("Stop measuring").on_hover_text("Esc").clicked() {
                state.measuring = None;
            }
        }
    }
}

fn with_article(kind: MeasureKind) -> &'static str {
    match kind {
        MeasureKind::Distance => "a distance",
        MeasureKind::Height => "a height",
        MeasureKind::Angle => "an angle",
    }
}

/// Takes a click on a crop, where a measurement is being taken.
pub fn point_placed(page: &mut Page<'_>, state: &mut ComparePage, scene: &Scene, place: SidePoint) {
    let Some(measuring) = &mut state.measuring else {
        return;
    };
    measuring.points.push(place);
    if measuring.points.len() < points_needed(measuring.kind) {
        return;
    }
    let measurement = Measurement {
        side: scene.side,
        feature: scene.feature.id.clone(),
        kind: measuring.kind,
        points_mm: std::mem::take(&mut measuring.points),
        note: String::new(),
    };
    state.measuring = None;
    page.actions.push(Action::change("a measurement", move |record| {
        record.measurements.push(measurement);
    }));
}

fn of_feature<'a>(page: &'a Page<'_>, scene: &'a Scene) -> impl Iterator<Item = (usize, &'a Measurement)> {
    page.bench
        .record()
        .measurements
        .iter()
        .enumerate()
        .filter(|(_, m)| m.side == scene.side && m.feature == scene.feature.id)
}

fn alignment(scene: &Scene) -> Option<&Alignment> {
    match &scene.coin {
        Coin::Ready { alignment, .. } => Some(alignment),
        Coin::Missing { .. } => None,
    }
}

/// Draws the measurements kept on this feature, against the states' own values: as many on a line as it holds, since
/// every line takes from the crops.
pub fn measurements_ui(ui: &mut Ui, page: &mut Page<'_>, scene: &Scene) {
    let Some(alignment) = alignment(scene) else {
        return;
    };
    let diameter_mm = page.bench.set.measures.diameter_mm;
    let lines: Vec<_> = of_feature(page, scene)
        .enumerate()
        .filter_map(|(n, (index, m))| {
            let value = measured(diameter_mm, alignment, m)?;
            let words = format!(
                "{} {}: {}",
                letter(n),
                kind_words(m.kind),
                value_words(m.kind, &value)
            );
            Some((index, words, fits(scene, m.kind, &value)))
        })
        .collect();
    if lines.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = Vec2::new(6.0, 3.0);
        // Never broken within: what does not fit goes to the next line whole.
        ui.style_mut().wrap_mode = Some(egui::TextWrapMode::Extend);
        for (index, words, fits) in lines {
            ui.label(RichText::new(&words).strong());
            for fit in fits {
                fit.mark.show(ui);
                ui.label(fit.words).on_hover_text(fit.why);
            }
            if ui
                .small_button("Remove")
                .accessible_name(format!("Remove {words}"))
                .clicked()
            {
                page.actions
                    .push(Action::change("removing a measurement", move |record| {
                        if index < record.measurements.len() {
                            record.measurements.remove(index);
                        }
                    }));
            }
            ui.add_space(10.0);
        }
    });
}

/// The value with its 95 % half width.
pub(super) fn value_words(kind: MeasureKind, value: &Measured) -> String {
    let half = value.half_width_95();
    match kind {
        MeasureKind::Angle => format!("{:.1} \u{b1} {half:.1}\u{b0}", value.value),
        _ => format!("{:.2} \u{b1} {half:.2} mm", value.value),
    }
}

/// What a value says of the states: those that it fits, and those that it does not.
struct Fit {
    mark: Mark,
    words: String,
    why: String,
}

fn fits(scene: &Scene, kind: MeasureKind, value: &Measured) -> Vec<Fit> {
    let compared: Vec<(usize, bool, String)> = scene
        .states
        .iter()
        .filter_map(|one| {
            let stated = one.cell.stated.as_ref()?;
            let sigmas = sigmas_from_stated(kind, value, stated)?.abs();
            let why = format!(
                "State {}: {}. The values lie {sigmas:.1} times their common uncertainty (one standard deviation) \
                 apart; up to {FITS_WITHIN_SIGMAS:.0} times is no contradiction.",
                one.cell.number,
                stated_words(stated)
            );
            Some((one.cell.number, sigmas <= FITS_WITHIN_SIGMAS, why))
        })
        .collect();
    [(true, Mark::Yes, "fits"), (false, Mark::No, "does not fit")]
        .into_iter()
        .filter_map(|(fits, mark, verb)| {
            let these: Vec<_> = compared.iter().filter(|(_, f, _)| *f == fits).collect();
            let numbers: Vec<String> = these.iter().map(|(n, ..)| n.to_string()).collect();
            let why: Vec<&str> = these.iter().map(|(.., why)| why.as_str()).collect();
            let states = if numbers.len() == 1 { "state" } else { "states" };
            (!numbers.is_empty()).then(|| Fit {
                mark,
                words: format!("{verb} {states} {}", numbers.join(", ")),
                why: why.join("\n"),
            })
        })
        .collect()
}

pub(super) fn letter(n: usize) -> char {
    (b'a'..=b'z').nth(n % 26).map_or('a', char::from)
}

const MEASURE: Color32 = Color32::from_rgb(120, 220, 255);

pub(super) fn lines(painter: &Painter, crop: &CropOnScreen, points: &[SidePoint]) {
    let at: Vec<_> = points.iter().map(|p| crop.at(*p)).collect();
    for pair in at.windows(2) {
        painter.line_segment(
            [pair[0], pair[1]],
            Stroke::new(3.0, Color32::from_black_alpha(150)),
        );
        painter.line_segment([pair[0], pair[1]], Stroke::new(1.2, MEASURE));
    }
    for p in at {
        for arm in [Vec2::new(5.0, 0.0), Vec2::new(0.0, 5.0)] {
            painter.line_segment(
                [p - arm, p + arm],
                Stroke::new(3.0, Color32::from_black_alpha(150)),
            );
            painter.line_segment([p - arm, p + arm], Stroke::new(1.2, MEASURE));
        }
    }
}

/// Draws the points placed so far.
pub fn pending(painter: &Painter, state: &ComparePage, crop: &CropOnScreen) {
    let Some(measuring) = &state.measuring else {
        return;
    };
    let mut points = measuring.points.clone();
    if !points.is_empty() {
        points.extend(state.pointer);
    }
    lines(painter, crop, &points);
}

/// Draws the measurements kept on this feature over the coin.
pub fn kept(painter: &Painter, page: &Page<'_>, scene: &Scene, crop: &CropOnScreen) {
    for (n, (_, m)) in of_feature(page, scene).enumerate() {
        lines(painter, crop, &m.points_mm);
        if let Some(last) = m.points_mm.last() {
            let at = crop.at(*last) + Vec2::new(9.0, 0.0);
            overlay::label(painter, at, Align2::LEFT_CENTER, &letter(n).to_string());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_angle_takes_three_points() {
        assert_eq!(KINDS.map(points_needed), [2, 2, 3]);
        let angle = |n| Measuring {
            kind: MeasureKind::Angle,
            points: vec![SidePoint::origin(); n],
        };
        let words: Vec<String> = (0..3)
            .map(|n| next_point_words(&angle(n), Beside::Plates))
            .collect();
        assert_eq!(words[1], "click the corner");
    }
}
