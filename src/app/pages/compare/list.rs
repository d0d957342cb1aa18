//! The list of features with how each stands and what it would tell.

use egui::{Button, Rect, Role, ScrollArea, Sense, Stroke, TextStyle, Ui, Vec2, WidgetInfo};

use super::ComparePage;
use super::marks::{ICON, Mark};
use super::model::{FeatureRow, feature_rows};
use crate::app::model::action::Action;
use crate::app::model::bench::index;
use crate::app::model::page::Page;
use crate::app::widgets::theme::palette;
use crate::evidence::Standing;

/// Draws the list.
pub fn list_ui(ui: &mut Ui, page: &mut Page<'_>, state: &mut ComparePage, standing: &Standing) {
    ui.add_space(8.0);
    let side = page.bench.side;
    super::pair::beside_ui(ui, page, state);
    ui.separator();
    facts_row(ui, page, state);
    ui.separator();

    let rows = feature_rows(&page.bench.set, page.bench.record(), standing, side);
    let word = crate::app::model::bench::title(side);
    let judged = rows.iter().filter(|row| row.summary.is_judged()).count();
    ui.weak(format!("{word}: {judged} of {} judged", rows.len()))
        .on_hover_text("Features of this side with a verdict");
    let set = std::sync::Arc::clone(&page.bench.set);
    let reference = set.side(side);
    let in_view = super::model::feature_in_view(
        &page.bench.set,
        standing,
        side,
        page.bench.feature[index(side)].as_ref(),
    )
    .map(|feature| feature.id.clone());
    let most = standing.next.first().map_or(0.0, |next| next.gain_bits);
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        for row in &rows {
            let selected = !state.facts_shown && in_view.as_ref() == Some(&row.id);
            let doubt = reference
                .feature(&row.id)
                .and_then(|f| state.judged[index(side)].zone(&f.zone))
                .and_then(crate::words::doubt);
            let response = row_ui(ui, row, selected, most, doubt);
            if response.clicked() {
                state.facts_shown = false;
                page.actions.push(Action::ShowFeature(side, row.id.clone()));
            }
        }
    });
}

fn facts_row(ui: &mut Ui, page: &Page<'_>, state: &mut ComparePage) {
    let asked = page.bench.set.facts.len();
    let answered = page
        .bench
        .set
        .facts
        .iter()
        .filter(|q| page.bench.record().facts.contains_key(&q.id))
        .count();
    let mark = if answered == asked { Mark::Yes } else { Mark::Blank };
    let text = format!("Date and facts: {answered} of {asked}");
    let button = Button::selectable(state.facts_shown, (mark.atom(ui), text))
        .min_size(Vec2::new(ui.available_width(), 24.0));
    let response = ui
        .add(button)
        .on_hover_text("What to read off the coin before the dies: date, mint mark, weight. Key F.");
    if response.clicked() {
        state.facts_shown = true;
    }
}

/// What a verdict on it would tell, against the feature that would tell most.
fn tells_words(row: &FeatureRow, most_bits: f64) -> &'static str {
    match row.gain_bits {
        None if row.summary.is_judged() => "",
        None => "tells nothing now",
        Some(_) if row.tells_most => "tells most",
        Some(bits) if bits > 0.5 * most_bits => "tells much",
        Some(bits) if bits > 0.1 * most_bits => "tells some",
        Some(_) => "tells little",
    }
}

fn row_ui(
    ui: &mut Ui,
    row: &FeatureRow,
    selected: bool,
    most_bits: f64,
    doubt: Option<&'static str>,
) -> egui::Response {
    const PAD: Vec2 = Vec2::new(8.0, 4.0);
    let width = ui.available_width();
    let text_width = width - 2.0 * PAD.x - ICON - 8.0;
    let visuals = ui.visuals();
    let strong = visuals.strong_text_color();
    let question = ui.painter().layout(
        row.question.clone(),
        TextStyle::Body.resolve(ui.style()),
        if selected { strong } else { visuals.text_color() },
        text_width,
    );
    let tells = tells_words(row, most_bits);
    let words = match (row.summary.is_judged(), tells) {
        (true, "") => row.summary.words(),
        (true, tells) => format!("{}, {tells}", row.summary.words()),
        (false, tells) => tells.to_owned(),
    };
    let words = match doubt {
        Some(doubt) if !row.summary.is_judged() => format!("{words}, but {doubt}"),
        _ => words,
    };
    let mark = Mark::of_summary(&row.summary);
    let color = if row.summary.is_judged() {
        mark.color(ui)
    } else if row.tells_most {
        Mark::Best.color(ui)
    } else {
        visuals.weak_text_color()
    };
    let below = ui.painter().layout(
        words.clone(),
        TextStyle::Small.resolve(ui.style()),
        color,
        text_width - if row.tells_most { 14.0 } else { 0.0 },
    );
    let height = question.size().y + below.size().y + 2.0 * PAD.y + 1.0;
    let (rect, response) = ui.allocate_exact_size(Vec2::new(width, height), Sense::click());
    response.widget_info(|| {
        let name = format!("{}: {words}", row.question);
        WidgetInfo::selected(Role::Button, true, selected, name)
    });
    if ui.is_rect_visible(rect) {
        let palette = palette(ui);
        if selected {
            ui.painter().rect_filled(rect, 4.0, palette.raised);
            let edge = Rect::from_min_size(rect.min, Vec2::new(3.0, rect.height()));
            ui.painter().rect_filled(edge, 1.0, palette.accent);
        } else if response.hovered() {
            ui.painter()
                .rect_filled(rect, 4.0, palette.raised.gamma_multiply(0.6));
        }
        if response.has_focus() {
            let stroke = Stroke::new(1.0, palette.accent);
            ui.painter()
                .rect_stroke(rect, 4.0, stroke, egui::StrokeKind::Inside);
        }
        let text = rect.min + PAD + Vec2::new(ICON + 8.0, 0.0);
        let first_line = question.rows.first().map_or(ICON, |r| r.size.y);
        let icon_at = rect.min + PAD + Vec2::new(0.0, (first_line - ICON) / 2.0);
        let ground = ui.visuals().extreme_bg_color;
        mark.paint(
            ui.painter(),
            Rect::from_min_size(icon_at, Vec2::splat(ICON)),
            mark.color(ui),
            ground,
        );
        if doubt.is_some() {
            let at = icon_at + Vec2::new(0.0, ICON + 5.0);
            let square = Rect::from_min_size(at, Vec2::splat(ICON));
            Mark::Attention.paint(ui.painter(), square, Mark::Attention.color(ui), ground);
        }
        let below_at = text + Vec2::new(0.0, question.size().y + 1.0);
        ui.painter().galley(text, question, strong);
        let mut below_left = below_at;
        if row.tells_most {
            let star = Rect::from_min_size(below_at + Vec2::new(0.0, 1.0), Vec2::splat(11.0));
            Mark::Best.paint(ui.painter(), star, Mark::Best.color(ui), ground);
            below_left.x += 14.0;
        }
        ui.painter().galley(below_left, below, color);
    }
    match row.gain_bits {
        Some(bits) => response.on_hover_text(format!(
            "A verdict here is expected to tell {bits:.2} bits: each bit halves the pairings that are left."
        )),
        None => response,
    }
}
