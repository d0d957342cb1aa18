//! Colours, sizes and fonts: calm greys, one accent, a rhythm of 4 and 8 points.

use std::sync::Arc;

use egui::{
    Button, Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, RichText, Stroke, Style,
    TextStyle, Theme, Visuals, vec2,
};

use crate::fonts;

/// The greys and the accent of one theme.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Palette {
    /// Behind pictures: neutral, so that metal keeps its colour.
    pub well: Color32,
    /// Behind lists and cards: a shade below the panels.
    pub sunk: Color32,
    /// Panels.
    pub panel: Color32,
    /// Bars and raised parts.
    pub raised: Color32,
    /// Lines between parts.
    pub line: Color32,
    /// Text.
    pub text: Color32,
    /// Text of less weight.
    pub quiet: Color32,
    /// The accent: what is selected, and the one button to press next.
    pub accent: Color32,
    /// Behind what is chosen: the accent, faint, so that many chosen things stay calm.
    pub chosen: Color32,
    /// Text on the accent.
    pub on_accent: Color32,
    /// What needs attention.
    pub warn: Color32,
    /// What failed or is out.
    pub bad: Color32,
    /// What holds.
    pub good: Color32,
    /// The accent on photos, the same in both themes since metal does not change with them.
    pub on_picture: Color32,
    /// What needs attention on photos.
    pub warn_on_picture: Color32,
}

const ON_PICTURE: Color32 = Color32::from_rgb(126, 214, 255);
const WARN_ON_PICTURE: Color32 = Color32::from_rgb(255, 186, 84);

/// The palette of a theme.
#[must_use]
pub fn palette_of(theme: Theme) -> Palette {
    let grey = Color32::from_gray;
    match theme {
        Theme::Dark => Palette {
            well: grey(18),
            sunk: grey(23),
            panel: grey(30),
            raised: grey(40),
            line: grey(58),
            text: grey(226),
            quiet: grey(158),
            accent: Color32::from_rgb(86, 160, 214),
            chosen: Color32::from_rgb(38, 72, 98),
            on_accent: grey(12),
            warn: Color32::from_rgb(226, 172, 84),
            bad: Color32::from_rgb(232, 120, 104),
            good: Color32::from_rgb(120, 190, 140),
            on_picture: ON_PICTURE,
            warn_on_picture: WARN_ON_PICTURE,
        },
        Theme::Light => Palette {
            well: grey(206),
            sunk: grey(234),
            panel: grey(246),
            raised: grey(255),
            line: grey(208),
            text: grey(28),
            quiet: grey(96),
            accent: Color32::from_rgb(22, 98, 158),
            chosen: Color32::from_rgb(196, 219, 238),
            on_accent: grey(255),
            warn: Color32::from_rgb(146, 92, 8),
            bad: Color32::from_rgb(176, 44, 32),
            good: Color32::from_rgb(30, 112, 62),
            on_picture: ON_PICTURE,
            warn_on_picture: WARN_ON_PICTURE,
        },
    }
}

/// The palette in use.
#[must_use]
pub fn palette(ui: &egui::Ui) -> Palette {
    palette_of(if ui.visuals().dark_mode {
        Theme::Dark
    } else {
        Theme::Light
    })
}

/// The family of the heavier weight.
fn semibold() -> FontFamily {
    FontFamily::Name("semibold".into())
}

/// Text in the heavier weight, for headings of parts.
#[must_use]
pub fn strong(text: impl Into<String>) -> RichText {
    RichText::new(text).family(semibold())
}

/// The one button to press next, of a size.
pub fn primary(p: &Palette, text: &str, size: f32, least: egui::Vec2) -> Button<'static> {
    let text = strong(text).size(size).color(p.on_accent);
    Button::new(text).fill(p.accent).min_size(least)
}

/// Sets fonts and both themes' styles.
pub fn install(ctx: &egui::Context) {
    ctx.set_fonts(fonts());
    for theme in [Theme::Dark, Theme::Light] {
        ctx.style_mut_of(theme, |style| dress(style, theme));
    }
}

/// The program's typeface before those that come with the window, which stand in for signs that it lacks.
fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    for (name, data) in [("regular", fonts::REGULAR), ("semibold", fonts::SEMIBOLD)] {
        fonts
            .font_data
            .insert(name.to_owned(), Arc::new(FontData::from_static(data)));
    }
    let others = fonts
        .families
        .get(&FontFamily::Proportional)
        .cloned()
        .unwrap_or_default();
    let with = |first: &str| {
        std::iter::once(first.to_owned())
            .chain(others.clone())
            .collect::<Vec<_>>()
    };
    fonts.families.insert(FontFamily::Proportional, with("regular"));
    fonts.families.insert(semibold(), with("semibold"));
    fonts
}

fn dress(style: &mut Style, theme: Theme) {
    let p = palette_of(theme);
    let proportional = |size| FontId::new(size, FontFamily::Proportional);
    style.text_styles = [
        (TextStyle::Small, proportional(11.5)),
        (TextStyle::Body, proportional(13.5)),
        (TextStyle::Button, proportional(13.5)),
        (TextStyle::Heading, FontId::new(19.0, semibold())),
        (TextStyle::Monospace, FontId::new(13.0, FontFamily::Monospace)),
    ]
    .into();
    let s = &mut style.spacing;
    s.item_spacing = vec2(8.0, 4.0);
    s.button_padding = vec2(8.0, 4.0);
    s.interact_size.y = 24.0;
    style.animation_time = 0.08;

    let mut v = match theme {
        Theme::Dark => Visuals::dark(),
        Theme::Light => Visuals::light(),
    };
    let corner = CornerRadius::same(4);
    v.panel_fill = p.panel;
    v.window_fill = p.raised;
    v.window_stroke = Stroke::new(1.0, p.line);
    v.extreme_bg_color = if theme == Theme::Dark {
        Color32::from_gray(22)
    } else {
        Color32::WHITE
    };
    v.faint_bg_color = p.raised;
    v.hyperlink_color = p.accent;
    v.warn_fg_color = p.warn;
    v.error_fg_color = p.bad;
    v.weak_text_color = Some(p.quiet);
    v.selection.bg_fill = p.chosen;
    v.selection.stroke = Stroke::new(1.0, p.text);
    v.window_corner_radius = CornerRadius::same(8);
    v.menu_corner_radius = corner;
    v.widgets.noninteractive.fg_stroke.color = p.text;
    v.widgets.noninteractive.bg_stroke = Stroke::new(1.0, p.line);
    for (widget, lift) in [
        (&mut v.widgets.inactive, 0_i16),
        (&mut v.widgets.hovered, 10),
        (&mut v.widgets.active, 18),
        (&mut v.widgets.open, 10),
    ] {
        widget.corner_radius = corner;
        widget.fg_stroke.color = p.text;
        widget.expansion = 0.0;
        let fill = shade(
            if theme == Theme::Dark { 52 } else { 232 },
            if theme == Theme::Dark { lift } else { -lift },
        );
        widget.bg_fill = fill;
        widget.weak_bg_fill = fill;
        widget.bg_stroke = Stroke::new(1.0, if lift == 0 { Color32::TRANSPARENT } else { p.line });
    }
    style.visuals = v;
}

fn shade(grey: u8, by: i16) -> Color32 {
    Color32::from_gray(u8::try_from((i16::from(grey) + by).clamp(0, 255)).unwrap_or(grey))
}
