//! The size of a picture without decoding it.

use std::io::Cursor;

use super::other_codecs::head_limits;
use image::metadata::Orientation;
use image::{ImageDecoder, ImageReader};

/// Width and height in px after the orientation flag, from the picture's header alone; none where the bytes are no
/// picture of a kind that is read.
#[must_use]
pub fn upright_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let mut reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format().ok()?;
    reader.limits(head_limits());
    let mut decoder = reader.into_decoder().ok()?;
    let (width, height) = decoder.dimensions();
    // As in reading: a broken orientation flag is no reason to refuse the picture.
    let turned = matches!(
        decoder.orientation().unwrap_or(Orientation::NoTransforms),
        Orientation::Rotate90
            | Orientation::Rotate270
            | Orientation::Rotate90FlipH
            | Orientation::Rotate270FlipH
    );
    Some(if turned { (height, width) } else { (width, height) })
}

/// As [`upright_size`] for a file of which only the start is at hand; none also where a picture of its kind may keep
/// what is asked for further on.
#[must_use]
pub fn upright_size_from_head(head: &[u8]) -> Option<(u32, u32)> {
    // JPEG and PNG have their size and orientation flag before the pixels; TIFF and WebP need not.
    const WITH_A_HEAD: [&[u8]; 2] = [b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"];
    let has_a_head = WITH_A_HEAD.iter().any(|magic| head.starts_with(magic));
    if has_a_head { upright_size(head) } else { None }
}
