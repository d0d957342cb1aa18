//! A picture's file without what tells where, when, with what and by whom it was taken. Pixels, colour profile,
//! resolution and orientation stay as they are, byte for byte: nothing is decoded or encoded again.

use std::borrow::Cow;

use image::metadata::Orientation;
use image::{ImageDecoder, ImageReader};
use img_parts::png::{Png, PngChunk};
use img_parts::webp::WebP;
use img_parts::{Bytes, ImageEXIF};

use super::format::{Format, Recognised, recognise};
use super::other_codecs::head_limits;
use super::tiff_tags;

/// Why a picture cannot be given away without what it tells; each continues the sentence that names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum AnonymousError {
    /// No picture of a kind that is read here.
    #[error("it is no picture that is read here")]
    NotAPicture,
    /// Its parts do not follow its format's rules.
    #[error(
        "its parts cannot be told apart, so that what it tells of place and owner cannot be left out; save it anew"
    )]
    Damaged,
}

/// The file without what it tells of place, time, device and owner; the bytes as they are where it tells nothing.
///
/// # Errors
/// [`AnonymousError`].
pub fn anonymous(bytes: &[u8]) -> Result<Cow<'_, [u8]>, AnonymousError> {
    let Recognised::Read(format) = recognise(bytes) else {
        return Err(AnonymousError::NotAPicture);
    };
    let orientation = orientation(bytes, format)?;
    let made = match format {
        Format::Jpeg => jpeg(bytes, orientation),
        Format::Png => png(bytes, orientation),
        Format::WebP => webp(bytes, orientation),
        Format::Tiff => tiff_tags::without_private(bytes),
    };
    let made = made.ok_or(AnonymousError::Damaged)?;
    Ok(if made == bytes {
        Cow::Borrowed(bytes)
    } else {
        Cow::Owned(made)
    })
}

/// How the picture is turned to stand upright, by its flag.
fn orientation(bytes: &[u8], format: Format) -> Result<Orientation, AnonymousError> {
    // TIFF keeps it among its own tags, which stay.
    if format == Format::Tiff {
        return Ok(Orientation::NoTransforms);
    }
    let mut reader = ImageReader::new(std::io::Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|_| AnonymousError::NotAPicture)?;
    reader.limits(head_limits());
    let mut decoder = reader.into_decoder().map_err(|_| AnonymousError::Damaged)?;
    // As in reading: a broken flag is none.
    Ok(decoder.orientation().unwrap_or(Orientation::NoTransforms))
}

/// Exif data that hold the orientation and nothing else; none for a picture that is not turned. Layout by TIFF 6.0,
/// sec. 2: header, one directory of one entry, no further directory. 0x0112 is Orientation, type 3 a 16-bit number.
fn orientation_alone(orientation: Orientation) -> Option<Vec<u8>> {
    if orientation == Orientation::NoTransforms {
        return None;
    }
    let mut exif = b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0".to_vec();
    exif.extend_from_slice(&[orientation.to_exif(), 0, 0, 0]);
    exif.extend_from_slice(&[0; 4]);
    Some(exif)
}

/// Walks the segments (ITU-T T.81, annex B). Kept are the tables, frames and scans, JFIF's own segment, the colour
/// profile and Adobe's note on the colours; what follows the end marker, such as a camera's further pictures, goes.
fn jpeg(bytes: &[u8], orientation: Orientation) -> Option<Vec<u8>> {
    let mut out = bytes.get(..2)?.to_vec();
    let mut at = 2;
    let mut flag = orientation_alone(orientation).map(|exif| [b"Exif\0\0".as_slice(), &exif].concat());
    loop {
        // What stands between a scan's header and the next marker is its coded data.
        let marker_at = at + memchr::memchr(0xFF, bytes.get(at..)?)?;
        let marker = *bytes.get(marker_at + 1)?;
        match marker {
            0xFF => {
                out.extend_from_slice(bytes.get(at..=marker_at)?);
                at = marker_at + 1;
            }
            // A stuffed byte of the data, or a marker without length.
            0x00 | 0x01 | 0xD0..=0xD8 => {
                out.extend_from_slice(bytes.get(at..marker_at + 2)?);
                at = marker_at + 2;
            }
            0xD9 => {
                out.extend_from_slice(bytes.get(at..marker_at + 2)?);
                return Some(out);
            }
            _ => {
                out.extend_from_slice(bytes.get(at..marker_at)?);
                let length = usize::from(u16::from_be_bytes(*bytes.get(marker_at + 2..)?.first_chunk()?));
                let end = marker_at + 2 + length.max(2);
                let body = bytes.get(marker_at + 4..end)?;
                let is_kept = match marker {
                    0xE0 => body.starts_with(b"JFIF\0"),
                    0xE2 => body.starts_with(b"ICC_PROFILE\0"),
                    0xEE => body.starts_with(b"Adobe"),
                    0xE0..=0xEF | 0xFE => false,
                    _ => true,
                };
                if marker != 0xE0
                    && let Some(flag) = flag.take()
                {
                    let length = u16::try_from(flag.len() + 2).ok()?;
                    out.extend_from_slice(&[0xFF, 0xE1]);
                    out.extend_from_slice(&length.to_be_bytes());
                    out.extend_from_slice(&flag);
                }
                if is_kept {
                    out.extend_from_slice(bytes.get(marker_at..end)?);
                }
                at = end;
            }
        }
    }
}

/// Kept are the chunks that say how the pixels look (PNG specification, third edition, sec. 11).
fn png(bytes: &[u8], orientation: Orientation) -> Option<Vec<u8>> {
    const KEPT: [&[u8; 4]; 13] = [
        b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"cHRM", b"gAMA", b"iCCP", b"sBIT", b"sRGB", b"cICP",
        b"bKGD", b"pHYs",
    ];
    let mut png = Png::from_bytes(Bytes::copy_from_slice(bytes)).ok()?;
    png.chunks_mut().retain(|chunk| KEPT.contains(&&chunk.kind()));
    if let Some(flag) = orientation_alone(orientation) {
        // Behind the header, which must come first.
        png.chunks_mut().insert(1, PngChunk::new(*b"eXIf", flag.into()));
    }
    Some(png.encoder().bytes().to_vec())
}

/// Kept are the chunks that say how the pixels look (RFC 9649, sec. 2).
fn webp(bytes: &[u8], orientation: Orientation) -> Option<Vec<u8>> {
    const KEPT: [&[u8; 4]; 7] = [b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ANIM", b"ANMF", b"ICCP"];
    /// In the first byte of the chunk VP8X: that there are XMP data.
    const XMP: u8 = 0x04;
    let mut webp = WebP::from_bytes(Bytes::copy_from_slice(bytes)).ok()?;
    webp.set_exif(orientation_alone(orientation).map(Into::into));
    webp.chunks_mut()
        .retain(|chunk| chunk.id() == *b"EXIF" || KEPT.contains(&&chunk.id()));
    for chunk in webp
        .chunks_mut()
        .iter_mut()
        .filter(|chunk| chunk.id() == *b"VP8X")
    {
        let mut data = chunk.content().data()?.to_vec();
        *data.first_mut()? &= !XMP;
        *chunk = img_parts::riff::RiffChunk::new(*b"VP8X", img_parts::riff::RiffContent::Data(data.into()));
    }
    Some(webp.encoder().bytes().to_vec())
}
