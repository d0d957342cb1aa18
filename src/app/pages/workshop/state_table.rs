//! The table of which die shows which state: dies across, features down. Only what is in view is laid out, so that a
//! set of hundreds of dies scrolls as one of four.

use egui::{
    Align, Button, Direction, Label, Layout, Popup, Rect, Role, ScrollArea, Sense, Ui, UiBuilder, Vec2,
    WidgetInfo, pos2, vec2,
};

use super::edits::Edits;
use crate::reference::{Die, Feature, Place, ReferenceSet, Side, SideReference, edit};

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
            let inside = viewport.translate(-vec2(NAMES_WIDTH, CELL.y));
            let columns = in_view(inside.left(), inside.right(), CELL.x, part.dies.len());
            let rows = in_view(inside.top(), inside.bottom(), CELL.y, part.features.len());
            for row in rows.clone() {
                for column in columns.clone() {
                    let rect = cell_at(column, row).shrink(1.0);
                    cell_ui(ui, rect, side, &part.dies[column], &part.features[row], edits);
                }
            }
            // The names stay in view: drawn last, over what has scrolled under them.
            let corner = area.min + viewport.min.to_vec2();
            let names = vec2(NAMES_WIDTH - 4.0, CELL.y);
            for row in rows {
                let rect = Rect::from_min_size(pos2(corner.x, cell_at(0, row).top()), names);
                let layout = Layout::left_to_right(Align::Center);
                name_cell(ui, rect, layout, feature_words(&part.features[row]));
            }
            for column in columns {
                let rect = Rect::from_min_size(pos2(cell_at(column, 0).left(), corner.y), CELL);
                let layout = Layout::centered_and_justified(Direction::LeftToRight);
                name_cell(ui, rect, layout, part.dies[column].id.as_str());
            }
            let rect = Rect::from_min_size(corner, names);
            ui.painter().rect_filled(rect, 0.0, ui.visuals().panel_fill);
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

fn name_cell(ui: &mut Ui, rect: Rect, layout: Layout, words: &str) {
    ui.painter().rect_filled(rect, 0.0, ui.visuals().panel_fill);
    let mut inside = ui.new_child(UiBuilder::new().max_rect(rect).layout(layout));
    inside.add(Label::new(words).truncate());
}

fn cell_ui(ui: &mut Ui, rect: Rect, side: Side, die: &Die, feature: &Feature, edits: &mut Edits) {
    let shown = die.shows.get(&feature.id);
    let words = shown.map_or(SILENT, |state| state.as_str());
    let is_known = shown.is_none_or(|state| feature.state(state).is_some());
    let note = if is_known { "" } else { " (?)" };
    let response = ui.put(rect, Button::new(format!("{words}{note}")).truncate());
    response.widget_info(|| {
        let name = format!("{} of die {}: {words}", feature_words(feature), die.id);
        WidgetInfo::labeled(Role::Button, true, name)
    });
    Popup::menu(&response)
        .layout(Layout::top_down_justified(Align::LEFT))
        .show(|ui| {
            let states = feature.states.iter();
            let states = states.map(|state| (Some(&state.id), format!("{}: {}", state.id, state.words)));
            for (state, label) in states.chain([(None, "not known".to_owned())]) {
                if ui.selectable_label(shown == state, label).clicked() {
                    let (die, feature, state) = (die.id.clone(), feature.id.clone(), state.cloned());
                    edits.step("what the die shows", move |set| {
                        edit::set_shown(set, side, &die, feature, state);
                    });
                }
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
