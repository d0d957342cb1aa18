//! JPEG: decoding that refuses damage, instead of filling what is missing with grey.

use std::borrow::Cow;
use std::path::Path;

use image::metadata::Orientation;
use zune_core::bytestream::ZCursor;
use zune_core::colorspace::ColorSpace;
use zune_core::options::DecoderOptions;
use zune_jpeg::JpegDecoder;
use zune_jpeg::errors::DecodeErrors;

use super::PhotoError;
use super::buffer::Buffer;
use super::colour::Pixels;
use super::other_codecs::Decoded;
use super::read::ReadLimits;

/// The most pixels one byte of a JPEG can stand for: each 8 x 8 block takes at least one bit.
const MOST_PIXELS_PER_BYTE: u64 = 512;

/// Decodes a JPEG. Owned bytes are let go as soon as they are decoded and are not copied.
pub(super) fn decode(name: &Path, bytes: Cow<'_, [u8]>, limits: &ReadLimits) -> Result<Decoded, PhotoError> {
    let file = name.to_path_buf();
    let damaged = |error: &DecodeErrors| PhotoError::Damaged {
        file: name.to_path_buf(),
        reason: plain(error),
    };
    if let Some(kind) = kind_not_read(&bytes) {
        return Err(PhotoError::Unsupported {
            file,
            reason: kind.to_owned(),
        });
    }
    let length_of_file = bytes.len() as u64;
    let layout = layout(&bytes);
    let ended = layout.is_some();
    let bytes = match layout {
        Some(layout) => without_end_marker(bytes, layout),
        None => bytes,
    };
    let options = DecoderOptions::default()
        .set_max_width(usize::from(u16::MAX))
        .set_max_height(usize::from(u16::MAX))
        // Strict from the entropy-coded data on only: headers of real cameras are often a little odd.
        .set_strict_mode(false);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(&*bytes), options);
    if let Err(error) = decoder.decode_headers() {
        return Err(match error {
            DecodeErrors::Unsupported(_) => PhotoError::Unsupported {
                file,
                reason: plain(&error),
            },
            _ if !ended => PhotoError::Truncated { file },
            _ => damaged(&error),
        });
    }
    let (width, height) = decoder.dimensions().unwrap_or_default();
    let (width, height) = (width as u64, height as u64);
    limits.check(name, width, height)?;
    if width * height / MOST_PIXELS_PER_BYTE > length_of_file {
        return Err(PhotoError::SizeMismatch {
            file,
            width,
            height,
            bytes: length_of_file,
        });
    }
    if !ended {
        return Err(PhotoError::Truncated { file });
    }
    let grey = decoder.input_colorspace() == Some(ColorSpace::Luma);
    let was_cmyk = matches!(
        decoder.input_colorspace(),
        Some(ColorSpace::CMYK | ColorSpace::YCCK)
    );
    let out = if grey { ColorSpace::Luma } else { ColorSpace::RGB };
    let options = options.jpeg_set_out_colorspace(out).set_strict_mode(true);
    decoder.set_options(options);
    let orientation = decoder
        .exif()
        .and_then(|exif| Orientation::from_exif_chunk(exif))
        .unwrap_or(Orientation::NoTransforms);
    let profile = decoder.icc_profile();
    let channels = if grey { 1 } else { 3 };
    let length = usize::try_from(width * height)
        .unwrap_or(usize::MAX)
        .saturating_mul(channels);
    let mut buffer = Buffer::zeroed(length);
    decoder.decode_into(&mut buffer).map_err(|error| match error {
        _ if ran_out(&error) => PhotoError::SizeMismatch {
            file: name.to_path_buf(),
            width,
            height,
            bytes: length_of_file,
        },
        DecodeErrors::Unsupported(_) => PhotoError::Unsupported {
            file: name.to_path_buf(),
            reason: plain(&error),
        },
        _ => damaged(&error),
    })?;
    // A JPEG's sides are 16-bit numbers.
    let (width, height) = (
        u32::try_from(width).unwrap_or(0),
        u32::try_from(height).unwrap_or(0),
    );
    let pixels = if grey {
        Pixels::grey8(width, height, buffer.to_vec())
    } else {
        Pixels::rgb8(width, height, buffer)
    };
    Ok(Decoded {
        pixels: pixels.ok_or_else(|| PhotoError::Damaged {
            file,
            reason: "its size is wrong".into(),
        })?,
        profile,
        orientation,
        was_cmyk,
    })
}

/// Whether the data ended before the pixels did.
fn ran_out(error: &DecodeErrors) -> bool {
    match error {
        DecodeErrors::ExhaustedData => true,
        DecodeErrors::FormatStatic(reason) => reason.contains("Premature end"),
        _ => false,
    }
}

/// The decoder's words without its debugging dress, on one line.
fn plain(error: &DecodeErrors) -> String {
    let text = match error {
        DecodeErrors::Format(text) | DecodeErrors::HuffmanDecode(text) => text.clone(),
        DecodeErrors::FormatStatic(text) => (*text).to_string(),
        other => format!("{other:?}"),
    };
    text.split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .trim_end_matches('.')
        .to_string()
}

/// The kind of a JPEG that its decoder does not know, by its frame header (ITU-T T.81, table B.1 and B.2.2): the codes
/// C3, C5 to C7 and CB to CF are of lossless, hierarchical or arithmetic coding, C9 and CA of arithmetic coding, and the
/// first byte after the length is the precision.
fn kind_not_read(bytes: &[u8]) -> Option<&'static str> {
    let mut at = 2;
    loop {
        at += memchr::memchr(0xFF, bytes.get(at..)?)?;
        let marker = *bytes.get(at + 1)?;
        match marker {
            0xFF => at += 1,
            0x00 | 0x01 | 0xD0..=0xD8 => at += 2,
            0xC3 => return Some("lossless JPEG"),
            0xC9 | 0xCA => return Some("JPEG with arithmetic coding"),
            0xC5..=0xC7 | 0xCB | 0xCD..=0xCF => return Some("hierarchical or lossless JPEG"),
            0xC0..=0xC2 => {
                let precision = *bytes.get(at + 4)?;
                return (precision != 8).then_some("JPEG of more than 8 bits a colour");
            }
            // Scans and the end come after the frame's header.
            0xD9 | 0xDA => return None,
            _ => {
                let length = usize::from(u16::from_be_bytes(bytes.get(at + 2..at + 4)?.try_into().ok()?));
                at += 2 + length.max(2);
            }
        }
    }
}

/// How a JPEG's segments lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Layout {
    /// Where the end marker stands. Whatever cameras append after it does not matter.
    end: usize,
    /// One scan, coded in sequence: the pixels' data run from its header to the end marker.
    one_sequential_scan: bool,
}

/// Walks the segments (ITU-T T.81, annex B) to the end marker; None where the file ends first.
fn layout(bytes: &[u8]) -> Option<Layout> {
    let (mut scans, mut sequential) = (0, false);
    let mut at = 2;
    loop {
        // To the next marker: this also walks through the coded data that follow the header of a scan.
        at += memchr::memchr(0xFF, bytes.get(at..)?)?;
        let marker = *bytes.get(at + 1)?;
        match marker {
            // Fill bytes.
            0xFF => at += 1,
            // A stuffed 0xFF of the data, a restart marker, a start marker or a marker without length.
            0x00 | 0x01 | 0xD0..=0xD8 => at += 2,
            0xD9 => {
                return Some(Layout {
                    end: at,
                    one_sequential_scan: sequential && scans == 1,
                });
            }
            _ => {
                match marker {
                    0xC0 | 0xC1 => sequential = true,
                    0xDA => scans += 1,
                    _ => {}
                }
                let length = usize::from(u16::from_be_bytes(bytes.get(at + 2..at + 4)?.try_into().ok()?));
                at += 2 + length.max(2);
            }
        }
    }
}

/// The decoder takes an end marker that comes too early for leave to make up the rest. Without the marker it runs
/// into the end of the data instead, and says so. The zeros let it look ahead over the true end.
fn without_end_marker(bytes: Cow<'_, [u8]>, layout: Layout) -> Cow<'_, [u8]> {
    /// More than the decoder's look-ahead, which is 8 bytes.
    const PADDING: usize = 16;
    if !layout.one_sequential_scan {
        return bytes;
    }
    let mut owned = match bytes {
        Cow::Owned(mut owned) => {
            owned.truncate(layout.end);
            owned
        }
        Cow::Borrowed(bytes) => {
            let mut owned = Vec::with_capacity(layout.end + PADDING);
            owned.extend_from_slice(&bytes[..layout.end]);
            owned
        }
    };
    owned.resize(layout.end + PADDING, 0);
    Cow::Owned(owned)
}
