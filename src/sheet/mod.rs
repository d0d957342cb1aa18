//! The annotated attribution sheet: page layout, PDF and PNG. Computes no evidence.
//!
//! [`gather`] puts what the sheet says into plain data, [`compose`] lays that out as a display list in mm, and
//! [`write_sheet`] paints the list as PDF or PNG.

mod alignment_map;
mod block;
mod compose;
pub mod content;
pub mod display;
mod enlarge;
mod error;
mod gather;
mod gather_comparisons;
mod gather_features;
mod gather_sides;
mod gather_standing;
mod labels;
mod marks;
mod page_closing;
mod page_comparisons;
mod page_features;
mod page_summary;
mod page_tables;
mod paginate;
mod pdf;
mod png;
mod save;
pub mod style;
pub mod text;

pub use compose::{Paper, SheetOptions, compose};
pub use content::SheetContent;
pub use display::{Page, Sheet};
pub use enlarge::{ROUND, enlargement};
pub use error::SheetError;
pub use gather::gather;
pub use pdf::pdf_bytes;
pub use png::{DPI, encode_png, is_our_png, paint_page, png_bytes};
pub use save::write_sheet;
