//! The grid of pairings: obverse dies across, reverse dies down. Only what is in view is drawn, so that a set of
//! hundreds of dies scrolls as lightly as one of four.

use std::collections::HashMap;

use egui::{
    Align2, FontId, Rect, RichText, Role, ScrollArea, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo,
};

use crate::app::pages::standing::{percent, title};
use crate::app::widgets::marks::{ICON, Mark};
use crate::app::widgets::theme::palette;
use crate::evidence::Standing;
use crate::reference::{DieId, ReferenceSet};

const HEAD: f32 = 56.0;
const CELL: Vec2 = Vec2::new(92.0, 28.0);
/// The most height taken before the grid scrolls by itself, in points.
const MOST_HEIGHT: f32 = 420.0;

/// Draws it.
pub fn grid_ui(ui: &mut Ui, set: &ReferenceSet, standing: &Standing) {
    title(ui, "Pairings: obverse dies across, reverse dies down");
    ui.horizontal(|ui| {
        for (mark, words) in [(Mark::Yes, "in"), (Mark::No, "out")] {
            mark.show(ui);
            ui.label(words);
            ui.add_space(8.0);
        }
        ui.label(RichText::new("\u{2013}").weak());
        ui.label("not listed by the set");
    });
    let (columns, rows) = (set.obverse.dies.len(), set.reverse.dies.len());
    if columns == 0 || rows == 0 {
        ui.label("The set lists no dies yet.");
        return;
    }
    let listed: HashMap<(&DieId, &DieId), usize> = set
        .pairings
        .iter()
        .enumerate()
        .map(|(i, p)| ((&p.obverse, &p.reverse), i))
        .collect();
    let size = Vec2::new(HEAD + columns as f32 * CELL.x, CELL.y * (rows as f32 + 1.0));
    ScrollArea::both()
        .id_salt("pairing grid")
        .max_height(MOST_HEIGHT)
        .auto_shrink([false, true])
        .show_viewport(ui, |ui, view| {
            let (area, _) = ui.allocate_exact_size(size, Sense::hover());
            let columns_in_view = span(view.left() - HEAD, view.right() - HEAD, CELL.x, columns);
            let rows_in_view = span(view.top() - CELL.y, view.bottom() - CELL.y, CELL.y, rows);
            for column in columns_in_view.clone() {
                let at = area.min + Vec2::new(HEAD + (column as f32 + 0.5) * CELL.x, CELL.y / 2.0);
                let die = &standing.obverse[column];
                head(ui, at, die.die.as_str(), die.is_in());
            }
            for row in rows_in_view {
                let at = area.min + Vec2::new(HEAD / 2.0, (row as f32 + 1.5) * CELL.y);
                let die = &standing.reverse[row];
                head(ui, at, die.die.as_str(), die.is_in());
                for column in columns_in_view.clone() {
                    let min =
                        area.min + Vec2::new(HEAD + column as f32 * CELL.x, (row as f32 + 1.0) * CELL.y);
                    let cell = Rect::from_min_size(min, CELL).shrink(1.0);
                    let dies = (&set.obverse.dies[column].id, &set.reverse.dies[row].id);
                    cell_ui(ui, cell, set, standing, listed.get(&dies).copied());
                }
            }
        });
}

/// The cells of `count` that reach into `from..to`.
fn span(from: f32, to: f32, step: f32, count: usize) -> std::ops::Range<usize> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to a count of cells"
    )]
    let place = |at: f32| (at / step).clamp(0.0, count as f32) as usize;
    place(from)..(place(to) + 1).min(count)
}

fn head(ui: &Ui, at: egui::Pos2, die: &str, is_in: bool) {
    let palette = palette(ui);
    let color = if is_in { palette.text } else { palette.quiet };
    let rect = ui
        .painter()
        .text(at, Align2::CENTER_CENTER, die, FontId::proportional(13.0), color);
    if !is_in {
        ui.painter()
            .hline(rect.x_range(), rect.center().y, Stroke::new(1.0, color));
    }
}

fn cell_ui(ui: &mut Ui, cell: Rect, set: &ReferenceSet, standing: &Standing, listed: Option<usize>) {
    let palette = palette(ui);
    let Some(index) = listed else {
        ui.painter().text(
            cell.center(),
            Align2::CENTER_CENTER,
            "\u{2013}",
            FontId::proportional(12.0),
            palette.line,
        );
        return;
    };
    let (pairing, its) = (&set.pairings[index], &standing.pairings[index]);
    let (mark, word) = if its.is_in() {
        (Mark::Yes, "in")
    } else {
        (Mark::No, "out")
    };
    ui.painter().rect_filled(cell, 3.0, palette.raised);
    if its.is_in() {
        ui.painter()
            .rect_stroke(cell, 3.0, Stroke::new(1.0, palette.good), StrokeKind::Inside);
    }
    let icon = Rect::from_center_size(
        cell.left_center() + Vec2::new(4.0 + ICON / 2.0, 0.0),
        Vec2::splat(ICON),
    );
    mark.paint(ui.painter(), icon, mark.color(ui), palette.raised);
    ui.painter().with_clip_rect(cell.intersect(ui.clip_rect())).text(
        cell.left_center() + Vec2::new(ICON + 9.0, 0.0),
        Align2::LEFT_CENTER,
        format!("{} {word}", pairing.catalogue),
        FontId::proportional(12.0),
        if its.is_in() { palette.text } else { palette.quiet },
    );
    let response = ui.interact(cell, ui.scope_id().with(("pairing", index)), Sense::hover());
    let name = format!(
        "{}, obverse {} with reverse {}: {word}, {}",
        pairing.catalogue,
        pairing.obverse,
        pairing.reverse,
        percent(its.probability)
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Cell, true, &name));
    response.on_hover_ui(|ui| {
        ui.strong(&name);
        for cause in &its.out {
            ui.label(cause.sentence(set));
        }
    });
}

#[cfg(test)]
mod tests {
    use super::span;

    #[test]
    fn only_cells_in_view_are_named() {
        assert_eq!(span(-50.0, 95.0, 10.0, 4), 0..4);
        assert_eq!(span(25.0, 44.0, 10.0, 100), 2..5);
        assert_eq!(span(2000.0, 2100.0, 10.0, 3), 3..3);
    }
}
