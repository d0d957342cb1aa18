//! Long lists of rows of differing heights, of which only those in view are laid out.

use egui::{Id, Ui, vec2};

/// Lists up to this long are laid out as a whole.
const MOST_LAID_OUT: usize = 60;
/// The height of a row not yet seen, in points, until others tell what is usual.
const FIRST_GUESS: f32 = 24.0;

/// The heights of the rows as far as they were seen.
#[derive(Clone, Default)]
struct Heights {
    width: f32,
    known: Vec<Option<f32>>,
}

impl Heights {
    fn usual(&self) -> f32 {
        let known = self.known.iter().flatten();
        let (sum, count) = known.fold((0.0, 0.0), |(sum, count), height| (sum + height, count + 1.0));
        if count > 0.0 { sum / count } else { FIRST_GUESS }
    }
}

/// Draws one row for each item, in a scrolled area. `salt` tells lists of one page apart.
pub fn rows_ui<T>(
    ui: &mut Ui,
    salt: impl std::hash::Hash + std::fmt::Debug,
    items: &[T],
    mut row_ui: impl FnMut(&mut Ui, &T),
) {
    if items.len() <= MOST_LAID_OUT {
        for item in items {
            row_ui(ui, item);
        }
        return;
    }
    let id: Id = ui.make_persistent_id(salt);
    // Taken out rather than copied, and put back below.
    let mut heights = ui.data_mut(|d| d.remove_temp::<Heights>(id)).unwrap_or_default();
    // Words wrap anew at another width.
    if (heights.width - ui.available_width()).abs() > 0.5 {
        heights = Heights {
            width: ui.available_width(),
            known: Vec::new(),
        };
    }
    heights.known.resize(items.len(), None);
    let usual = heights.usual();
    let spacing = ui.spacing().item_spacing.y;
    // A little more than is in view, so that the keyboard finds the next row.
    let view = ui.clip_rect().expand2(vec2(0.0, 200.0));
    // Rows passed over in a row take their space at once.
    let mut skipped = 0.0;
    for (item, known) in items.iter().zip(&mut heights.known) {
        let top = ui.cursor().top() + skipped;
        let height = known.unwrap_or(usual);
        if top + height < view.top() || top > view.bottom() {
            skipped += height + spacing;
            continue;
        }
        leave(ui, std::mem::take(&mut skipped));
        let drawn = ui.scope(|ui| row_ui(ui, item));
        *known = Some(drawn.response.rect.height());
    }
    leave(ui, skipped);
    ui.data_mut(|d| d.insert_temp(id, heights));
}

/// Leaves room for rows passed over; a mere space would not count as content to scroll to.
fn leave(ui: &mut Ui, height: f32) {
    if height > 0.0 {
        ui.allocate_space(vec2(0.0, height - ui.spacing().item_spacing.y));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable as _;

    #[test]
    fn rows_in_view_are_laid_out_and_the_rest_keeps_its_room() {
        let items: Vec<usize> = (0..1_000).collect();
        let (height, offset) = (std::cell::Cell::new(0.0), std::cell::Cell::new(0.0));
        let mut harness = Harness::builder().with_size([300.0, 400.0]).build_ui(|ui| {
            let area = egui::ScrollArea::vertical().vertical_scroll_offset(offset.get());
            area.show(ui, |ui| {
                let top = ui.cursor().top();
                rows_ui(ui, "rows", &items, |ui, item| {
                    ui.set_min_height(30.0);
                    ui.label(format!("row {item}"));
                });
                height.set(ui.cursor().top() - top);
            });
        });
        harness.run_steps(4);
        assert!(harness.query_by_label("row 0").is_some());
        assert!(harness.query_by_label("row 900").is_none());
        let spacing = 3.0;
        let expected = 1_000.0 * (30.0 + spacing);
        assert!(
            (height.get() - expected).abs() < 0.02 * expected,
            "{}",
            height.get()
        );
        offset.set(15_000.0);
        harness.run_steps(4);
        assert!(harness.query_by_label("row 0").is_none());
        assert!(harness.query_all_by_label_contains("row 4").count() > 5);
    }
}
