//! Lays a sheet's content out on pages.

use super::block::Block;
use super::content::SheetContent;
use super::display::{Page, Pen, Sheet};
use super::paginate::Pages;
use super::style::{self, HAIRLINE, INK, LABEL, LIVE_HEIGHT, LIVE_WIDTH};
use super::{page_closing, page_comparisons, page_features, page_summary, page_tables, text};

/// The paper to print on. Both carry the same pages: what is printed fits the part that they share.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 x 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 x 11 inch (ANSI/ASME Y14.1 size A).
    Letter,
}

impl Paper {
    /// Width and height in mm.
    #[must_use]
    pub fn size_mm(self) -> (f64, f64) {
        match self {
            Paper::A4 => (210.0, 297.0),
            Paper::Letter => (8.5 * 25.4, 11.0 * 25.4),
        }
    }
}

/// What the user chooses for a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetOptions {
    /// The paper.
    pub paper: Paper,
    /// The date printed, `YYYY-MM-DD`. Given by the caller so that the same content makes the same file.
    pub made_on: String,
}

/// Lays out a sheet.
#[must_use]
pub fn compose(content: &SheetContent, options: &SheetOptions) -> Sheet {
    let mut pages = Pages::default();
    page_summary::summary(&mut pages, content, &options.made_on);
    page_features::features(&mut pages, content);
    page_comparisons::comparisons(&mut pages, &content.comparisons);
    page_tables::alignment(&mut pages, &content.sides);
    page_tables::standing(&mut pages, content);
    page_closing::closing(&mut pages, content);
    let pages = pages.finish();
    let count = pages.len();
    let (width, height) = options.paper.size_mm();
    let (left, top) = ((width - LIVE_WIDTH) / 2.0, (height - LIVE_HEIGHT) / 2.0);
    let pages = pages
        .into_iter()
        .enumerate()
        .map(|(i, mut items)| {
            let foot = foot(content, &options.made_on, i + 1, count);
            let foot_top = LIVE_HEIGHT - foot.height;
            items.extend(foot.items.into_iter().map(|item| item.moved(0.0, foot_top)));
            Page {
                width,
                height,
                items: items.into_iter().map(|item| item.moved(left, top)).collect(),
            }
        })
        .collect();
    Sheet {
        title: document_title(content),
        subject: format!(
            "Die attribution from photographs, compared with \u{201c}{}\u{201d}, edition {}",
            content.set_title, content.set_edition
        ),
        made_on: options.made_on.clone(),
        pages,
    }
}

fn document_title(content: &SheetContent) -> String {
    let title = content.title.trim();
    if title.is_empty() {
        "Untitled specimen".to_owned()
    } else {
        title.to_owned()
    }
}

/// The page line: what the sheet is, a bar to check the print's scale, the page's number.
fn foot(content: &SheetContent, made_on: &str, page: usize, of: usize) -> Block {
    /// The length of the bar in mm.
    const BAR: f64 = 50.0;
    let mut block = Block::default();
    block.line((0.0, 0.0), (LIVE_WIDTH, 0.0), HAIRLINE);
    let top = 1.4;
    let number = format!("Page {page} of {of}");
    block.text_right(LIVE_WIDTH, top, &number, &LABEL);
    let words = "50 mm when printed at 100 %";
    let words_width = LABEL.width(words);
    let bar_left = LIVE_WIDTH - LABEL.width(&number) - 7.0 - words_width - 2.0 - BAR;
    let y = top + LABEL.leading / 2.0;
    let pen = Pen {
        width: 0.2,
        colour: INK,
    };
    block.line((bar_left, y), (bar_left + BAR, y), pen);
    for tick in 0..=5 {
        let x = bar_left + 10.0 * f64::from(tick);
        let half = if tick % 5 == 0 { 1.0 } else { 0.6 };
        block.line((x, y - half), (x, y + half), pen);
    }
    block.text(bar_left + BAR + 2.0, top, words, &LABEL);
    let name = format!("{}, {made_on}", document_title(content));
    let name = text::one_line(&name, &LABEL, bar_left - 4.0);
    block.text(0.0, top, &name, &LABEL);
    block.reach(top + style::LABEL.leading);
    block
}
