//! Measuring on the crops: points placed in any cell, values against what the set states.

use egui::{Align2, Color32, Painter, RichText, Stroke, Ui, Vec2};

use super::model::{StateCell, stated_words};
use super::overlay::{self, CropOnScreen};
use super::scene::{InView, Scene, Subject};
use crate::app::pages::compare::{Beside, ComparePage};
use crate::app::widgets::marks::{Mark, down};
use crate::crop::Measured;
use crate::geometry::SidePoint;
use crate::pipeline::{FITS_WITHIN_SIGMAS, measured_points, sigmas_from_stated};
use crate::specimen::{
    ComparisonEdit, Edit, MeasureKind, Measurement, PairMeasurement, SpecimenRecord, WhichCoin,
};

/// A measurement being taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Measuring {
    /// What.
    pub kind: MeasureKind,
    /// The coin measured: where two are compared, the one that was clicked first.
    pub on: WhichCoin,
    /// The points placed so far, in side mm.
    pub points: Vec<SidePoint>,
}

impl Measuring {
    /// One of which no point is placed yet.
    #[must_use]
    pub fn new(kind: MeasureKind) -> Self {
        Self {
            kind,
            on: WhichCoin::This,
            points: Vec::new(),
        }
    }
}

const KINDS: [MeasureKind; 3] = [MeasureKind::Distance, MeasureKind::Height, MeasureKind::Angle];

fn points_needed(kind: MeasureKind) -> usize {
    match kind {
        MeasureKind::Distance | MeasureKind::Height => 2,
        MeasureKind::Angle => 3,
    }
}

fn kind_words(kind: MeasureKind) -> &'static str {
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
                            state.measuring = Some(Measuring::new(kind));
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

/// Takes a click on one of two coins' crops, where a measurement is being taken; plates count as your coin.
pub fn point_placed(row: &mut InView<'_, '_>, on: WhichCoin, place: SidePoint) {
    let Some(measuring) = &mut row.state.measuring else {
        return;
    };
    if measuring.points.is_empty() {
        measuring.on = on;
    }
    measuring.points.push(place);
    if measuring.points.len() < points_needed(measuring.kind) {
        return;
    }
    if let Some(done) = row.state.measuring.take() {
        row.edit(keeping(row, done));
    }
}

/// The change that keeps a measurement.
fn keeping(row: &InView<'_, '_>, done: Measuring) -> Edit {
    let Measuring {
        kind,
        on,
        points: points_mm,
    } = done;
    match &row.scene.subject {
        Subject::Feature(of) => Edit::Measure(Measurement {
            side: row.scene.side,
            feature: of.feature.id.clone(),
            kind,
            points_mm,
            note: String::new(),
        }),
        Subject::Spot(of) => {
            let diameter_mm = row.page.bench.set.measures.diameter_mm;
            let value = row
                .scene
                .alignment_of(on)
                .and_then(|alignment| measured_points(diameter_mm, alignment, kind, &points_mm));
            let measurement = PairMeasurement {
                spot: of.spot.clone(),
                on,
                kind,
                points_mm,
                half_width_95: value.map(|value| value.half_width_95()),
            };
            of.edit(ComparisonEdit::Measure(measurement))
        }
    }
}

/// A measurement kept on the row in view.
struct Kept<'a> {
    /// Its index in the record, or in the comparison of two coins.
    index: usize,
    on: WhichCoin,
    kind: MeasureKind,
    points_mm: &'a [SidePoint],
}

/// The measurements kept on the row in view.
fn kept_on<'a>(record: &'a SpecimenRecord, scene: &'a Scene) -> Vec<Kept<'a>> {
    match &scene.subject {
        Subject::Feature(of) => record
            .measurements
            .iter()
            .enumerate()
            .filter(|(_, m)| m.side == scene.side && m.feature == of.feature.id)
            .map(|(index, m)| Kept {
                index,
                on: WhichCoin::This,
                kind: m.kind,
                points_mm: &m.points_mm,
            })
            .collect(),
        Subject::Spot(of) => of
            .comparison
            .iter()
            .flat_map(|c| c.measurements.iter().enumerate())
            .filter(|(_, m)| m.spot.is_same(&of.spot))
            .map(|(index, m)| Kept {
                index,
                on: m.on,
                kind: m.kind,
                points_mm: &m.points_mm,
            })
            .collect(),
    }
}

/// Draws the measurements kept on the row, against the states' own values: as many on a line as it holds, since every
/// line takes from the crops.
pub fn measurements_ui(ui: &mut Ui, row: &mut InView<'_, '_>) {
    if !row.scene.can_measure() {
        return;
    }
    let diameter_mm = row.page.bench.set.measures.diameter_mm;
    let lines: Vec<_> = kept_on(row.page.bench.record(), row.scene)
        .iter()
        .enumerate()
        .filter_map(|(n, m)| {
            let value = measured_points(diameter_mm, row.scene.alignment_of(m.on)?, m.kind, m.points_mm)?;
            let (on, fits) = match &row.scene.subject {
                Subject::Feature(of) => (String::new(), fits(&of.states, m.kind, &value)),
                Subject::Spot(_) => (format!(" on {}", m.on.words()), Vec::new()),
            };
            let (kind, value) = (kind_words(m.kind), value_words(m.kind, &value));
            Some((m.index, format!("{} {kind}{on}: {value}", letter(n)), fits))
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
            let remove = ui
                .small_button("Remove")
                .accessible_name(format!("Remove {words}"));
            if remove.clicked() {
                row.edit(match &row.scene.subject {
                    Subject::Feature(_) => Edit::RemoveMeasurement(index),
                    Subject::Spot(of) => of.edit(ComparisonEdit::RemoveMeasurement(index)),
                });
            }
            ui.add_space(10.0);
        }
    });
}

/// The value with its 95 % half width.
fn value_words(kind: MeasureKind, value: &Measured) -> String {
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

fn fits(states: &[StateCell], kind: MeasureKind, value: &Measured) -> Vec<Fit> {
    let compared: Vec<(usize, bool, String)> = states
        .iter()
        .filter_map(|cell| {
            let stated = cell.stated.as_ref()?;
            let sigmas = sigmas_from_stated(kind, value, stated)?.abs();
            let why = format!(
                "State {}: {}. The values lie {sigmas:.1} times their common uncertainty (one standard deviation) \
                 apart; up to {FITS_WITHIN_SIGMAS:.0} times is no contradiction.",
                cell.number,
                stated_words(stated)
            );
            Some((cell.number, sigmas <= FITS_WITHIN_SIGMAS, why))
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

fn letter(n: usize) -> char {
    (b'a'..=b'z').nth(n % 26).map_or('a', char::from)
}

const MEASURE: Color32 = Color32::from_rgb(120, 220, 255);

fn lines(painter: &Painter, crop: &CropOnScreen, points: &[SidePoint]) {
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

/// Draws the measurements kept on the row over the coin that they were taken on.
pub fn kept(painter: &Painter, row: &InView<'_, '_>, on: WhichCoin, crop: &CropOnScreen) {
    for (n, m) in kept_on(row.page.bench.record(), row.scene).iter().enumerate() {
        if m.on != on {
            continue;
        }
        lines(painter, crop, m.points_mm);
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
            points: vec![SidePoint::origin(); n],
            ..Measuring::new(MeasureKind::Angle)
        };
        let words: Vec<String> = (0..3)
            .map(|n| next_point_words(&angle(n), Beside::Plates))
            .collect();
        assert_eq!(words[1], "click the corner");
    }
}
