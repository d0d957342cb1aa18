//! PNG, TIFF and WebP through the `image` crate.

use std::io::{self, BufRead, Cursor, Read, Seek, SeekFrom};
use std::path::Path;

use image::codecs::png::PngDecoder;
use image::codecs::tiff::TiffDecoder;
use image::codecs::webp::WebPDecoder;
use image::error::ImageError;
use image::metadata::Orientation;
use image::{DynamicImage, ExtendedColorType, ImageDecoder, Limits};

use super::colour::Pixels;
use super::read::ReadLimits;
use super::{PhotoError, Watch};
use crate::files::limits::MOST_PROFILE_BYTES;

/// A picture as its codec gives it: not yet upright, not yet in sRGB.
pub(super) struct Decoded {
    pub pixels: Pixels,
    pub profile: Option<Vec<u8>>,
    pub orientation: Orientation,
    /// The codec brought CMYK to RGB without its profile.
    pub was_cmyk: bool,
}

/// A codec of `image`'s.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Codec {
    Png,
    Tiff,
    WebP,
}

/// The most that a decoder may take for its own use, in bytes for each pixel allowed: four 16-bit channels, twice.
const MOST_BYTES_PER_PIXEL: u64 = 16;

/// Decodes with one of `image`'s codecs.
pub(super) fn decode(
    name: &Path,
    bytes: &[u8],
    codec: Codec,
    limits: &ReadLimits,
    watch: &Watch,
) -> Result<Decoded, PhotoError> {
    let source = WatchedSource {
        bytes: Cursor::new(bytes),
        watch,
    };
    // Opened by name: `image`'s own reader sets limits at once, and under them its TIFF codec refuses the colour
    // profile of a small picture.
    match codec {
        // Its profile is packed and is unpacked with the head, whatever it claims to become.
        Codec::Png => PngDecoder::with_limits(source, head_limits())
            .map_err(Failure::Codec)
            .and_then(|d| run(name, d, limits))
            .map(|decoded| with_unusable_profile(decoded, bytes)),
        Codec::Tiff => TiffDecoder::new(source)
            .map_err(Failure::Codec)
            .and_then(|d| run(name, d, limits)),
        Codec::WebP => WebPDecoder::new(source)
            .map_err(Failure::Codec)
            .and_then(|d| run(name, d, limits)),
    }
    .map_err(|failure| match failure {
        Failure::Codec(error) => from_image_error(name, error, watch),
        Failure::Photo(error) => error,
    })
}

/// What the head of a picture, its colour profile included, may take.
pub(super) fn head_limits() -> Limits {
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MOST_PROFILE_BYTES);
    limits
}

/// A profile that was too large to be unpacked is passed over in silence by the codec; it counts as one that cannot be
/// used, so that the user is told.
fn with_unusable_profile(mut decoded: Decoded, bytes: &[u8]) -> Decoded {
    // The header's 33 bytes come first and the profile before the pixels.
    if decoded.profile.is_none() {
        let pixels = memchr::memmem::find(bytes, b"IDAT").unwrap_or(bytes.len());
        decoded.profile = memchr::memmem::find(&bytes[..pixels], b"iCCP").map(|_| Vec::new());
    }
    decoded
}

enum Failure {
    Codec(ImageError),
    Photo(PhotoError),
}

fn run(name: &Path, mut decoder: impl ImageDecoder, limits: &ReadLimits) -> Result<Decoded, Failure> {
    let (width, height) = decoder.dimensions();
    limits
        .check(name, u64::from(width), u64::from(height))
        .map_err(Failure::Photo)?;
    // A broken profile or orientation flag is no reason to refuse the picture.
    let profile = decoder.icc_profile().ok().flatten();
    let profile = profile.map(|profile| {
        if profile.len() as u64 > MOST_PROFILE_BYTES {
            Vec::new()
        } else {
            profile
        }
    });
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let was_cmyk = matches!(
        decoder.original_color_type(),
        ExtendedColorType::Cmyk8 | ExtendedColorType::Cmyk16
    );
    let mut allowed = Limits::no_limits();
    allowed.max_alloc = Some(limits.most_pixels.saturating_mul(MOST_BYTES_PER_PIXEL));
    decoder.set_limits(allowed).map_err(Failure::Codec)?;
    let image = DynamicImage::from_decoder(decoder).map_err(Failure::Codec)?;
    Ok(Decoded {
        pixels: Pixels::from_image(image),
        profile,
        orientation,
        was_cmyk,
    })
}

fn from_image_error(name: &Path, error: ImageError, watch: &Watch) -> PhotoError {
    let file = name.to_path_buf();
    if watch.is_cancelled() {
        return PhotoError::Cancelled { file };
    }
    let words = error.to_string();
    let reason = in_few_words(&words);
    match error {
        ImageError::Unsupported(_) => PhotoError::Unsupported { file, reason },
        ImageError::IoError(e) if e.kind() == io::ErrorKind::UnexpectedEof => PhotoError::Truncated { file },
        _ if tells_of_a_cut(&words) => PhotoError::Truncated { file },
        _ => PhotoError::Damaged { file, reason },
    }
}

/// A codec's reason, of bounded length and in one line: some print all that they were given.
fn in_few_words(reason: &str) -> String {
    /// Enough for any reason in words.
    const MOST_CHARACTERS: usize = 160;
    let mut short: String = reason
        .chars()
        .take(MOST_CHARACTERS)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if reason.chars().nth(MOST_CHARACTERS).is_some() {
        short.push('\u{2026}');
    }
    short
}

/// Whether a codec's words mean that the file ends too early; they wrap the kind of the error away.
fn tells_of_a_cut(reason: &str) -> bool {
    let reason = reason.to_ascii_lowercase();
    [
        "unexpected eof",
        "unexpected end",
        "failed to fill whole buffer",
        "end of file",
    ]
    .iter()
    .any(|w| reason.contains(w))
}

/// The bytes, with progress from how far they are read, and an error as soon as the user cancels.
struct WatchedSource<'a> {
    bytes: Cursor<&'a [u8]>,
    watch: &'a Watch,
}

impl WatchedSource<'_> {
    fn look(&self) -> io::Result<()> {
        if self.watch.is_cancelled() {
            return Err(io::Error::other("cancelled"));
        }
        let length = self.bytes.get_ref().len().max(1);
        super::read::Stage::Decode.report(self.watch, self.bytes.position() as f32 / length as f32);
        Ok(())
    }
}

impl Read for WatchedSource<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        self.look()?;
        self.bytes.read(buffer)
    }
}

impl BufRead for WatchedSource<'_> {
    /// How much a codec gets at once; small enough that cancelling is felt at once.
    fn fill_buf(&mut self) -> io::Result<&[u8]> {
        const MOST: usize = 1 << 16;
        self.look()?;
        let rest = self.bytes.fill_buf()?;
        Ok(&rest[..rest.len().min(MOST)])
    }

    fn consume(&mut self, amount: usize) {
        self.bytes.consume(amount);
    }
}

impl Seek for WatchedSource<'_> {
    fn seek(&mut self, position: SeekFrom) -> io::Result<u64> {
        self.bytes.seek(position)
    }
}
