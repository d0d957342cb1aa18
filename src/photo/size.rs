//! The size of a picture without decoding it.

use std::io::Cursor;

use image::metadata::Orientation;
use image::{ImageDecoder, ImageReader};

/// Width and height in px after the turn flag, from the picture's header alone; none where the bytes are no picture of
/// a kind that is read.
#[must_use]
pub fn upright_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let mut decoder = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .ok()?
        .into_decoder()
        .ok()?;
    let (width, height) = decoder.dimensions();
    let turned = matches!(
        decoder.orientation().ok()?,
        Orientation::Rotate90
            | Orientation::Rotate270
            | Orientation::Rotate90FlipH
            | Orientation::Rotate270FlipH
    );
    Some(if turned { (height, width) } else { (width, height) })
}
