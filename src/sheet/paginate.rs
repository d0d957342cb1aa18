//! Blocks and running text, one under the other, over as many pages as it takes.

use super::block::Block;
use super::display::{Colour, Item};
use super::style;
use super::text::{TextStyle, wrap};

/// The height that content may take on a page, in mm.
pub const BODY_HEIGHT: f64 = style::LIVE_HEIGHT - style::FOOT;

/// Room to the right of a slack comparison, in mm: sums of lengths differ in their last places.
const SLACK: f64 = 1e-6;

/// The pages so far.
#[derive(Debug)]
pub struct Pages {
    pages: Vec<Vec<Item>>,
    y: f64,
}

impl Default for Pages {
    fn default() -> Self {
        Self {
            pages: vec![Vec::new()],
            y: 0.0,
        }
    }
}

impl Pages {
    /// The items of each page, in mm from the live area's corner.
    #[must_use]
    pub fn finish(self) -> Vec<Vec<Item>> {
        self.pages
    }

    /// What is left of the page, in mm.
    #[must_use]
    pub fn room(&self) -> f64 {
        BODY_HEIGHT - self.y
    }

    /// Goes on at the top of a new page, unless it is at one.
    pub fn turn(&mut self) {
        if self.y > 0.0 {
            self.pages.push(Vec::new());
            self.y = 0.0;
        }
    }

    /// Turns the page where less than `height` is left.
    pub fn keep(&mut self, height: f64) {
        if height > self.room() + SLACK {
            self.turn();
        }
    }

    /// Leaves room, but not at the top of a page.
    pub fn gap(&mut self, height: f64) {
        if self.y > 0.0 {
            self.y += height;
        }
    }

    /// Places a block whole. It must be no higher than a page.
    pub fn place(&mut self, block: Block) {
        self.keep(block.height);
        let y = self.y;
        if let Some(page) = self.pages.last_mut() {
            page.extend(block.items.into_iter().map(|item| item.moved(0.0, y)));
        }
        self.y += block.height;
    }

    /// A section's heading with a rule above it, kept with the next `with` mm.
    pub fn heading(&mut self, text: &str, with: f64) {
        self.gap(7.0);
        let mut block = Block::default();
        block.line((0.0, 0.0), (style::LIVE_WIDTH, 0.0), style::RULE);
        block.text(0.0, 1.6, text, &style::HEADING);
        block.height += 1.6;
        self.keep(block.height + with);
        self.place(block);
    }

    /// Running text from `x`, `width` wide, broken over pages by lines where it is long.
    pub fn paragraph(&mut self, x: f64, width: f64, text: &str, text_style: &TextStyle) {
        let lines = wrap(text, text_style, width);
        let count = lines.len();
        for (i, line) in lines.into_iter().enumerate() {
            let mut block = Block::default();
            block.text(x, 0.0, &line, text_style);
            block.reach(text_style.leading);
            self.keep_lines(i, count, text_style);
            self.place(block);
        }
    }

    /// Turns the page before a line that must not stand alone: a short paragraph is not broken, and of a long one two
    /// lines at least stand on either page.
    fn keep_lines(&mut self, line: usize, of: usize, text_style: &TextStyle) {
        const WHOLE: usize = 4;
        let together = match line {
            0 if of <= WHOLE => of,
            0 => 2,
            _ if of > WHOLE && line + 2 == of => 2,
            _ => 1,
        };
        self.keep(text_style.leading * f64::from(u32::try_from(together).unwrap_or(1)));
    }

    /// Running text with a mark hung before it.
    pub fn hung(&mut self, mark: &str, indent: f64, width: f64, text: &str, text_style: &TextStyle) {
        let lines = wrap(text, text_style, width - indent);
        let count = lines.len();
        for (i, line) in lines.into_iter().enumerate() {
            self.keep_lines(i, count, text_style);
            let mut block = Block::default();
            if i == 0 {
                block.text(0.0, 0.0, mark, text_style);
            }
            block.text(indent, 0.0, &line, text_style);
            block.reach(text_style.leading);
            self.place(block);
        }
    }

    /// A table over the live width, under a title where it has one; title, head and first row stay together.
    pub fn table(&mut self, title: Option<&str>, columns: &[Column], rows: &[Row]) {
        /// A first row higher than this may begin on the title's page and go on on the next.
        const MOST_KEPT: f64 = 60.0;
        let first = rows.first().map_or(0.0, |row| {
            let lines = row_lines(columns, row).iter().map(Vec::len).max().unwrap_or(0);
            row_height(lines)
        });
        let head = HEAD_STYLE.leading + 0.3 + PAD;
        let title_height = title.map_or(0.0, |_| style::BODY.leading + TITLE_GAP);
        self.keep(title_height + head + first.min(MOST_KEPT));
        if let Some(title) = title {
            self.paragraph(0.0, style::LIVE_WIDTH, title, &style::BODY.strong());
            self.gap(TITLE_GAP);
        }
        self.table_head(columns);
        for row in rows {
            self.table_row(columns, row);
        }
    }

    fn table_head(&mut self, columns: &[Column]) {
        let mut block = Block::default();
        for (x, column) in places(columns) {
            let label = super::text::one_line(column.label, &HEAD_STYLE, column.width - CELL_GAP);
            match column.align {
                Align::Left => {
                    block.text(x, 0.0, &label, &HEAD_STYLE);
                }
                Align::Right => block.text_right(x + column.width - CELL_GAP, 0.0, &label, &HEAD_STYLE),
            }
        }
        block.reach(HEAD_STYLE.leading);
        block.line(
            (0.0, block.height + 0.3),
            (style::LIVE_WIDTH, block.height + 0.3),
            style::HAIRLINE,
        );
        block.height += 0.3 + PAD;
        self.place(block);
    }

    fn table_row(&mut self, columns: &[Column], row: &Row) {
        let row_style = row_style(row);
        let cells = row_lines(columns, row);
        let lines = cells.iter().map(Vec::len).max().unwrap_or(0);
        if row_height(lines) > self.room() + SLACK && self.y > 0.0 {
            self.turn();
            self.table_head(columns);
        }
        let mut from = 0;
        while from < lines {
            let fit = (1..=lines - from)
                .take_while(|&n| row_height(n) <= self.room() + SLACK)
                .last()
                .unwrap_or(1);
            let mut block = Block::default();
            for ((x, column), cell) in places(columns).zip(&cells) {
                let mut y = PAD;
                for line in cell.iter().skip(from).take(fit) {
                    match column.align {
                        Align::Left => {
                            block.text(x, y, line, &row_style);
                        }
                        Align::Right => block.text_right(x + column.width - CELL_GAP, y, line, &row_style),
                    }
                    y += row_style.leading;
                }
            }
            block.height = row_height(fit);
            if let (0, Some(mark)) = (from, &row.mark) {
                block.items.extend(
                    mark.items
                        .iter()
                        .map(|item| item.clone().moved(0.0, PAD + row_style.leading / 2.0)),
                );
            }
            block.line(
                (0.0, block.height),
                (style::LIVE_WIDTH, block.height),
                style::HAIRLINE,
            );
            self.place(block);
            from += fit;
            if from < lines {
                self.turn();
                self.table_head(columns);
            }
        }
    }
}

fn row_style(row: &Row) -> TextStyle {
    if row.strong { ROW_STYLE.strong() } else { ROW_STYLE }.coloured(row.colour)
}

/// The lines of each cell.
fn row_lines(columns: &[Column], row: &Row) -> Vec<Vec<String>> {
    let row_style = row_style(row);
    columns
        .iter()
        .zip(&row.cells)
        .map(|(column, cell)| wrap(cell, &row_style, column.width - CELL_GAP))
        .collect()
}

/// The height of a row of so many lines in mm.
fn row_height(lines: usize) -> f64 {
    ROW_STYLE.leading * f64::from(u32::try_from(lines).unwrap_or(0)) + 2.0 * PAD
}

/// The space between a table's title and its head, in mm.
const TITLE_GAP: f64 = 0.8;
/// The space inside a table's column at its right, in mm.
const CELL_GAP: f64 = 2.5;
/// The space above and below a table row's text, in mm.
const PAD: f64 = 0.55;
const HEAD_STYLE: TextStyle = style::LABEL;
const ROW_STYLE: TextStyle = style::SMALL;

/// Which edge a column's text stands at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Figures.
    Right,
}

/// A table's column.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Its heading, with the unit.
    pub label: &'static str,
    /// Its width in mm.
    pub width: f64,
    /// Its alignment.
    pub align: Align,
}

/// A table's row.
#[derive(Debug, Clone)]
pub struct Row {
    /// One text a column.
    pub cells: Vec<String>,
    /// Whether it stands out.
    pub strong: bool,
    /// Its colour.
    pub colour: Colour,
    /// A mark drawn about (0, 0), moved to the middle of the row's first line.
    pub mark: Option<Block>,
}

impl Row {
    /// A plain row.
    #[must_use]
    pub fn plain(cells: Vec<String>) -> Self {
        Self {
            cells,
            strong: false,
            colour: style::INK,
            mark: None,
        }
    }
}

/// Each column with its left edge.
fn places(columns: &[Column]) -> impl Iterator<Item = (f64, &Column)> {
    columns.iter().scan(0.0, |x, column| {
        let here = *x;
        *x += column.width;
        Some((here, column))
    })
}
