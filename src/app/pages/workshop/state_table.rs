//! The table of which die shows which state: dies across, features down. Only what is in view is laid out, so that a
//! set of hundreds of dies scrolls as one of four.

use egui::{Align, Button, Layout, Popup, Rect, ScrollArea, Sense, Ui, Vec2, pos2, vec2};

use super::edits::Edits;
use crate::reference::{Die, Feature, Place, ReferenceSet, Side, SideReference};

const CELL: Vec2 = vec2(104.0, 28.0);
const NAMES_WIDTH: f32 = 230.0;
/// The dash of a feature on which the set is silent for the die.
const SILENT: &str = "–";

/// Draws the table.
pub fn state_table_ui(
    ui: &mut Ui,
    set: &ReferenceSet,
    side: Side,
    goal: &mut Option<Place>,
    edits: &mut Edits,
) {
    let part = set.side(side);
    if part.dies.is_empty() || part.features.is_empty() {
        ui.weak("The table of which die shows which state stands here once there are a die and a feature.");
        return;
    }
    let size = vec2(
        NAMES_WIDTH + CELL.x * part.dies.len() as f32,
        CELL.y * (part.features.len() + 1) as f32,
    );
    ScrollArea::both()
        .auto_shrink([false, true])
        .max_height(440.0)
        .show_viewport(ui, |ui, viewport| {
            let (area, _) = ui.allocate_exact_size(size, Sense::hover());
            let cell_at = |column: usize, row: usize| {
                let corner = area.min + vec2(NAMES_WIDTH + column as f32 * CELL.x, (row + 1) as f32 * CELL.y);
                Rect::from_min_size(corner, CELL)
            };
            if let Some((column, row)) = goal.as_ref().and_then(|place| cell_of(part, side, place)) {
                *goal = None;
                // The names that stay in view cover what is scrolled right under them.
                let cell = cell_at(column, row);
                ui.scroll_to_rect(cell.expand2(vec2(NAMES_WIDTH, CELL.y)), Some(Align::Center));
            }
            let columns = in_view(
                viewport.left() - NAMES_WIDTH,
                viewport.right() - NAMES_WIDTH,
                CELL.x,
                part.dies.len(),
            );
            let rows = in_view(
                viewport.top() - CELL.y,
                viewport.bottom() - CELL.y,
                CELL.y,
                part.features.len(),
            );
            for row in rows.clone() {
                for column in columns.clone() {
                    let rect = cell_at(column, row).shrink(1.0);
                    cell_ui(ui, rect, side, &part.dies[column], &part.features[row], edits);
                }
            }
            // The names stay in view: drawn last, over what has scrolled under them.
            let corner = area.min + viewport.min.to_vec2();
            let background = ui.visuals().panel_fill;
            for row in rows {
                let top = area.top() + (row + 1) as f32 * CELL.y;
                let rect = Rect::from_min_size(pos2(corner.x, top), vec2(NAMES_WIDTH - 4.0, CELL.y));
                name_cell(
                    ui,
                    rect,
                    background,
                    Layout::left_to_right(Align::Center),
                    feature_words(&part.features[row]),
                );
            }
            for column in columns {
                let left = area.left() + NAMES_WIDTH + column as f32 * CELL.x;
                let rect = Rect::from_min_size(pos2(left, corner.y), CELL);
                name_cell(
                    ui,
                    rect,
                    background,
                    Layout::centered_and_justified(egui::Direction::LeftToRight),
                    part.dies[column].id.as_str(),
                );
            }
            ui.painter().rect_filled(
                Rect::from_min_size(corner, vec2(NAMES_WIDTH - 4.0, CELL.y)),
                0.0,
                background,
            );
        });
}

/// The column and row of the cell that a place is about: what a die shows of a feature, or all that a die shows.
fn cell_of(part: &SideReference, side: Side, place: &Place) -> Option<(usize, usize)> {
    let (die, feature) = match place {
        Place::Shows(s, die, feature) if *s == side => (die, Some(feature)),
        Place::Die(s, die) if *s == side => (die, None),
        _ => return None,
    };
    let column = part.dies.iter().position(|d| d.id == *die)?;
    let row = match feature {
        Some(feature) => part.features.iter().position(|f| f.id == *feature)?,
        None => 0,
    };
    Some((column, row))
}

fn feature_words(feature: &Feature) -> &str {
    if feature.question.is_empty() {
        feature.id.as_str()
    } else {
        &feature.question
    }
}

/// Which of `count` cells of a length lie between two places.
fn in_view(from: f32, to: f32, length: f32, count: usize) -> std::ops::Range<usize> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 0..=count"
    )]
    let cell = |place: f32| (place / length).floor().clamp(0.0, count as f32) as usize;
    let end = (cell(to) + 1).min(count);
    cell(from).min(end)..end
}

fn name_cell(ui: &mut Ui, rect: Rect, background: egui::Color32, layout: Layout, words: &str) {
    ui.painter().rect_filled(rect, 0.0, background);
    let mut inside = ui.new_child(egui::UiBuilder::new().max_rect(rect).layout(layout));
    inside.add(egui::Label::new(words).truncate());
}

fn cell_ui(ui: &mut Ui, rect: Rect, side: Side, die: &Die, feature: &Feature, edits: &mut Edits) {
    let shown = die.shows.get(&feature.id);
    let words = shown.map_or(SILENT, |state| state.as_str());
    let known = shown.is_none_or(|state| feature.state(state).is_some());
    let button = Button::new(if known {
        words.to_owned()
    } else {
        format!("{words} (?)")
    })
    .truncate();
    let response = ui.put(rect, button);
    response.widget_info(|| {
        egui::WidgetInfo::labeled(
            egui::Role::Button,
            true,
            format!("{} of die {}: {words}", feature_words(feature), die.id),
        )
    });
    Popup::menu(&response)
        .layout(Layout::top_down_justified(Align::LEFT))
        .show(|ui| {
            for state in &feature.states {
                let label = format!("{}: {}", state.id, state.words);
                if ui.selectable_label(shown == Some(&state.id), label).clicked() {
                    let (die, feature, state) = (die.id.clone(), feature.id.clone(), state.id.clone());
                    edits.step("what the die shows", move |set| {
                        if let Some(die) = set.side_mut(side).dies.iter_mut().find(|d| d.id == die) {
                            die.shows.insert(feature, state);
                        }
                    });
                }
            }
            if ui.selectable_label(shown.is_none(), "not known").clicked() {
                let (die, feature) = (die.id.clone(), feature.id.clone());
                edits.step("what the die shows", move |set| {
                    if let Some(die) = set.side_mut(side).dies.iter_mut().find(|d| d.id == die) {
                        die.shows.remove(&feature);
                    }
                });
            }
        });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_cells_in_view_are_laid_out() {
        assert_eq!(in_view(-10.0, 250.0, 100.0, 200), 0..3);
        assert_eq!(in_view(5_050.0, 5_250.0, 100.0, 200), 50..53);
        assert_eq!(in_view(0.0, 1e6, 100.0, 4), 0..4);
        assert_eq!(in_view(1e6, 2e6, 100.0, 4), 4..4);
    }
}
