//! What stands beside the coin, and the rows to go to: features with how each stands and what it would tell, or spots
//! with what was found at each.

use std::sync::Arc;

use egui::text::LayoutJob;
use egui::{
    Button, Color32, FontSelection, Galley, Rect, RichText, Role, ScrollArea, Sense, Stroke, TextStyle, Ui,
    Vec2, WidgetInfo,
};

use super::findings::keep_place;
use super::model::{FeatureRow, FeatureSummary, feature_in_view, feature_rows};
use super::scene::{Scene, SpotSubject, Subject};
use super::{Beside, ComparePage, picker};
use crate::app::model::action::Action;
use crate::app::pages::Page;
use crate::app::widgets::marks::{ICON, Mark};
use crate::app::widgets::theme::palette;
use crate::evidence::Standing;
use crate::specimen::Spot;
use crate::words::{doubt, finding_words, spot_title};

/// Draws what stands beside the coin and the rows to go to.
pub fn list_ui(
    ui: &mut Ui,
    page: &mut Page<'_>,
    state: &mut ComparePage,
    scene: Option<&Scene>,
    standing: &Standing,
) {
    ui.add_space(8.0);
    beside_ui(ui, page, state);
    ui.separator();
    match (state.beside, scene.map(|scene| &scene.subject)) {
        (Beside::Plates, _) => features_ui(ui, page, state, standing),
        (Beside::OtherCoin, Some(Subject::Spot(of))) => spots_ui(ui, page, state, of),
        (Beside::OtherCoin, _) => {}
    }
}

/// The choice of what stands beside the coin.
fn beside_ui(ui: &mut Ui, page: &mut Page<'_>, state: &mut ComparePage) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        for (beside, words, hover) in [
            (
                Beside::Plates,
                "Dies\u{2019} plates",
                "Your coin beside the plates of the set\u{2019}s dies. Key B changes.",
            ),
            (
                Beside::OtherCoin,
                "Another coin",
                "Your coin beside another specimen of this set: did one die strike both, and which first? Key B changes.",
            ),
        ] {
            let chosen = state.beside == beside;
            if ui.selectable_label(chosen, words).on_hover_text(hover).clicked() && !chosen {
                state.put_beside(page, beside);
            }
        }
    });
}

fn features_ui(ui: &mut Ui, page: &mut Page<'_>, state: &mut ComparePage, standing: &Standing) {
    facts_row(ui, page, state);
    ui.separator();
    let side = page.bench.side;
    let set = Arc::clone(&page.bench.set);
    let reference = set.side(side);
    let rows = feature_rows(&set, page.bench.record(), standing, side);
    let judged = rows.iter().filter(|row| row.summary.is_judged()).count();
    ui.weak(format!("{}: {judged} of {} judged", side.title(), rows.len()))
        .on_hover_text("Features of this side with a verdict");
    let asked = page.bench.feature[side].as_ref();
    let in_view = feature_in_view(&set, standing, side, asked).map(|feature| &feature.id);
    let most = standing.next.first().map_or(0.0, |next| next.gain_bits);
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        for row in &rows {
            let selected = !state.facts_shown && in_view == Some(&row.id);
            let doubt = reference
                .feature(&row.id)
                .and_then(|f| state.judged[side].zone(&f.zone))
                .and_then(doubt);
            let response = row_ui(ui, row, selected, most, doubt);
            if response.clicked() {
                state.facts_shown = false;
                page.push(Action::ShowFeature(side, row.id.clone()));
            }
        }
    });
}

fn spots_ui(ui: &mut Ui, page: &mut Page<'_>, state: &mut ComparePage, of: &SpotSubject) {
    let side = of.side;
    picker::chosen_ui(ui, page, &of.named.title, &of.folder);
    ui.separator();
    let found = |spot: &Spot| of.finding_at(spot).and_then(|f| f.found);
    let judged = of.spots.iter().filter(|spot| found(spot).is_some()).count();
    ui.weak(format!(
        "{}: {judged} of {} spots judged",
        side.title(),
        of.spots.len()
    ));
    let button = Button::new("Keep this place (K)").wrap();
    let hover = "Keeps what the crops show now as a spot of your own: cracks and clash marks lie outside the \
                 set\u{2019}s zones. Pan and zoom there first.";
    if ui.add(button).on_hover_text(hover).clicked() {
        keep_place(page, state, of);
    }
    ui.add_space(2.0);
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 1.0;
        for spot in &of.spots {
            let title = spot_title(&page.bench.set, side, spot);
            let words = finding_words(of.finding_at(spot));
            let selected = spot.is_same(&of.spot);
            let mark = Mark::of_found(found(spot));
            let text = two_lines(ui, &title, &words, selected);
            let button = Button::selectable(selected, (mark.atom(ui), text))
                .wrap()
                .min_size(Vec2::new(ui.available_width(), 24.0));
            let response = ui.add(button).accessible_name(format!("{title}: {words}"));
            if response.clicked() {
                state.choose_spot(side, spot.clone());
            }
        }
    });
}

fn two_lines(ui: &Ui, title: &str, words: &str, selected: bool) -> LayoutJob {
    let mut job = LayoutJob::default();
    let style = ui.style();
    let body = RichText::new(format!("{title}\n"));
    let body = if selected { body.strong() } else { body };
    body.append_to(&mut job, style, FontSelection::Default, egui::Align::Center);
    RichText::new(words)
        .text_style(TextStyle::Small)
        .weak()
        .append_to(&mut job, style, FontSelection::Default, egui::Align::Center);
    job
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
        ui.ctx().request_repaint();
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

/// What stands under a feature's question: how it is judged, what a verdict would tell, and what stands against one.
fn words_of(row: &FeatureRow, most_bits: f64, doubt: Option<&str>) -> String {
    let tells = tells_words(row, most_bits);
    let words = match (row.summary.is_judged(), tells) {
        (true, "") => row.summary.words(),
        (true, tells) => format!("{}, {tells}", row.summary.words()),
        (false, tells) => tells.to_owned(),
    };
    match doubt {
        Some(doubt) if !row.summary.is_judged() => format!("{words}, but {doubt}"),
        _ => words,
    }
}

/// The mark of a feature.
fn mark_of(summary: &FeatureSummary) -> Mark {
    match summary {
        FeatureSummary::NotJudged => Mark::Blank,
        FeatureSummary::Agrees(_) => Mark::Yes,
        FeatureSummary::Conflicting => Mark::Attention,
        FeatureSummary::Differs { .. } => Mark::No,
        FeatureSummary::CannotTell(_) => Mark::CannotTell,
    }
}

/// The colour of the words under a feature's question.
fn color_of(ui: &Ui, row: &FeatureRow) -> Color32 {
    if row.summary.is_judged() {
        mark_of(&row.summary).color(ui)
    } else if row.tells_most {
        Mark::Best.color(ui)
    } else {
        ui.visuals().weak_text_color()
    }
}

fn lay(ui: &Ui, text: &str, style: TextStyle, color: Color32, width: f32) -> Arc<Galley> {
    let font = style.resolve(ui.style());
    ui.painter().layout(text.to_owned(), font, color, width)
}

fn row_ui(
    ui: &mut Ui,
    row: &FeatureRow,
    selected: bool,
    most_bits: f64,
    doubt: Option<&'static str>,
) -> egui::Response {
    const PAD: Vec2 = Vec2::new(8.0, 4.0);
    /// Room for the star of the one that tells most.
    const STAR: f32 = 14.0;
    let width = ui.available_width();
    let text_width = width - 2.0 * PAD.x - ICON - 8.0;
    let star = if row.tells_most { STAR } else { 0.0 };
    let visuals = ui.visuals();
    let strong = visuals.strong_text_color();
    let question_color = if selected { strong } else { visuals.text_color() };
    let words = words_of(row, most_bits, doubt);
    let mark = mark_of(&row.summary);
    let color = color_of(ui, row);
    let question = lay(ui, &row.question, TextStyle::Body, question_color, text_width);
    let below = lay(ui, &words, TextStyle::Small, color, text_width - star);
    let height = question.size().y + below.size().y + 2.0 * PAD.y + 1.0;
    let (rect, response) = ui.allocate_exact_size(Vec2::new(width, height), Sense::click());
    response.widget_info(|| {
        let name = format!("{}: {words}", row.question);
        WidgetInfo::selected(Role::Button, true, selected, name)
    });
    if ui.is_rect_visible(rect) {
        row_ground(ui, rect, &response, selected);
        let paint = |mark: Mark, at, size| {
            let square = Rect::from_min_size(at, Vec2::splat(size));
            mark.paint(
                ui.painter(),
                square,
                mark.color(ui),
                ui.visuals().extreme_bg_color,
            );
        };
        let first_line = question.rows.first().map_or(ICON, |r| r.size.y);
        let icon_at = rect.min + PAD + Vec2::new(0.0, (first_line - ICON) / 2.0);
        paint(mark, icon_at, ICON);
        if doubt.is_some() {
            paint(Mark::Attention, icon_at + Vec2::new(0.0, ICON + 5.0), ICON);
        }
        let text = rect.min + PAD + Vec2::new(ICON + 8.0, 0.0);
        let below_at = text + Vec2::new(0.0, question.size().y + 1.0);
        ui.painter().galley(text, question, strong);
        if row.tells_most {
            paint(Mark::Best, below_at + Vec2::new(0.0, 1.0), 11.0);
        }
        ui.painter().galley(below_at + Vec2::new(star, 0.0), below, color);
    }
    match row.gain_bits {
        Some(bits) => response.on_hover_text(format!(
            "A verdict here is expected to tell {bits:.2} bits: each bit halves the pairings that are left."
        )),
        None => response,
    }
}

/// The ground of a row, by whether it is selected, pointed at or has the keyboard's focus.
fn row_ground(ui: &Ui, rect: Rect, response: &egui::Response, selected: bool) {
    let (painter, palette) = (ui.painter(), palette(ui));
    if selected {
        painter.rect_filled(rect, 4.0, palette.raised);
        let edge = Rect::from_min_size(rect.min, Vec2::new(3.0, rect.height()));
        painter.rect_filled(edge, 1.0, palette.accent);
    } else if response.hovered() {
        painter.rect_filled(rect, 4.0, palette.raised.gamma_multiply(0.6));
    }
    if response.has_focus() {
        let stroke = Stroke::new(1.0, palette.accent);
        painter.rect_stroke(rect, 4.0, stroke, egui::StrokeKind::Inside);
    }
}
