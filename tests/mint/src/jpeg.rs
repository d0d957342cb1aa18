//! JPEG files as phones write them: stored sideways with a turn flag, perhaps with a colour profile.

use std::path::Path;

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder, RgbImage, imageops};

use super::MintError;

/// How a picture is written.
#[derive(Debug, Clone)]
pub struct JpegOptions {
    /// JPEG quality, 1 to 100.
    pub quality: u8,
    /// The EXIF turn flag, 1 to 8; the stored picture is turned so that this flag makes it upright again.
    pub turn_flag: u8,
    /// A colour profile to embed, as ICC bytes.
    pub icc_profile: Option<Vec<u8>>,
}

impl Default for JpegOptions {
    fn default() -> Self {
        Self {
            quality: 90,
            turn_flag: 1,
            icc_profile: None,
        }
    }
}

/// An upright picture as the bytes of a JPEG file.
///
/// # Errors
/// [`MintError::Encoding`] where the encoder refuses.
pub fn jpeg_bytes(upright: &RgbImage, options: &JpegOptions) -> Result<Vec<u8>, MintError> {
    let stored = stored_for(upright, options.turn_flag);
    let mut bytes = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut bytes, options.quality);
    let refused = |e: &dyn std::fmt::Display| MintError::Encoding { why: e.to_string() };
    if options.turn_flag != 1 {
        encoder
            .set_exif_metadata(exif_with_turn(options.turn_flag))
            .map_err(|e| refused(&e))?;
    }
    if let Some(profile) = &options.icc_profile {
        encoder
            .set_icc_profile(profile.clone())
            .map_err(|e| refused(&e))?;
    }
    encoder
        .write_image(
            stored.as_raw(),
            stored.width(),
            stored.height(),
            ExtendedColorType::Rgb8,
        )
        .map_err(|e| refused(&e))?;
    Ok(bytes)
}

/// Writes an upright picture as a JPEG file.
///
/// # Errors
/// [`MintError::Encoding`], or [`MintError::Writing`] where the file cannot be written.
pub fn write_jpeg(upright: &RgbImage, path: &Path, options: &JpegOptions) -> Result<(), MintError> {
    let bytes = jpeg_bytes(upright, options)?;
    std::fs::write(path, bytes).map_err(|e| MintError::Writing {
        path: path.to_owned(),
        why: e.to_string(),
    })
}

/// The stored pixels that a turn flag makes upright (the flags' meanings: Exif 2.32, tag 0x0112).
fn stored_for(upright: &RgbImage, flag: u8) -> RgbImage {
    use imageops::{flip_horizontal, flip_vertical, rotate90, rotate180, rotate270};
    match flag {
        2 => flip_horizontal(upright),
        3 => rotate180(upright),
        4 => flip_vertical(upright),
        5 => flip_horizontal(&rotate90(upright)),
        6 => rotate270(upright),
        7 => flip_horizontal(&rotate270(upright)),
        8 => rotate90(upright),
        _ => upright.clone(),
    }
}

/// A minimal EXIF block, big-endian, that holds nothing but the turn flag.
fn exif_with_turn(flag: u8) -> Vec<u8> {
    let mut exif = b"MM\0\x2a\0\0\0\x08".to_vec();
    // One entry: tag 0x0112 (Orientation), type 3 (SHORT), one value; then no further directory.
    exif.extend([0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, flag, 0, 0, 0, 0, 0, 0]);
    exif
}
