//! Reading a photo or plate from a file or bytes.

use std::borrow::Cow;
use std::fs::File;
use std::io::Read;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use super::format::{Format, Recognised, recognise};
use super::other_codecs::{Codec, Decoded};
use super::{PhotoError, Picture, Watch, jpeg, orientation, other_codecs};

/// How large a picture may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ReadLimits {
    /// The most pixels, width times height.
    pub most_pixels: u64,
    /// The most bytes of the file.
    pub most_bytes: u64,
}

impl Default for ReadLimits {
    fn default() -> Self {
        Self {
            most_pixels: 120_000_000,
            most_bytes: 400_000_000,
        }
    }
}

impl ReadLimits {
    /// Checks a stated size before anything is decoded.
    pub(super) fn check(&self, name: &Path, width: u64, height: u64) -> Result<(), PhotoError> {
        if width == 0 || height == 0 {
            return Err(PhotoError::Damaged {
                file: name.to_path_buf(),
                reason: format!("it says it is {width} x {height} px"),
            });
        }
        if width.saturating_mul(height) > self.most_pixels {
            return Err(PhotoError::TooManyPixels {
                file: name.to_path_buf(),
                width,
                height,
                most_pixels: self.most_pixels,
            });
        }
        Ok(())
    }
}

/// The stages of reading; each has its share of the progress.
#[derive(Debug, Clone, Copy)]
pub(super) enum Stage {
    Load,
    Decode,
    Colour,
    Turn,
    Pyramid,
}

impl Stage {
    /// Reports how much of this stage is done, 0 to 1.
    pub(super) fn report(self, watch: &Watch, done: f32) {
        // Shares of the time of a 12 MP JPEG with a profile, roughly.
        let (from, to) = match self {
            Self::Load => (0.0, 0.1),
            Self::Decode => (0.1, 0.7),
            Self::Colour => (0.7, 0.85),
            Self::Turn => (0.85, 0.95),
            Self::Pyramid => (0.95, 1.0),
        };
        watch.report(from + (to - from) * done.clamp(0.0, 1.0));
    }

    fn begin(self, name: &Path, watch: &Watch) -> Result<(), PhotoError> {
        self.report(watch, 0.0);
        go_on(name, watch)
    }
}

fn go_on(name: &Path, watch: &Watch) -> Result<(), PhotoError> {
    if watch.is_cancelled() {
        return Err(PhotoError::Cancelled {
            file: name.to_path_buf(),
        });
    }
    Ok(())
}

/// Reads a picture file: JPEG, PNG, TIFF or WebP, told by its content and not its ending; orientation flag applied,
/// colours brought to sRGB by the embedded profile, transparent parts laid on white. Of a file with several pictures
/// the first is read. `watch` gets the progress and can cancel.
///
/// # Errors
/// [`PhotoError`].
pub fn read_picture_file(file: &Path, limits: &ReadLimits, watch: &Watch) -> Result<Picture, PhotoError> {
    let bytes = load(file, limits, watch)?;
    // The file's bytes make room before the picture's copies are built.
    let decoded = decode(file, Cow::Owned(bytes), limits, watch)?;
    finish(file, decoded, watch)
}

/// As [`read_picture_file`], from bytes; `name` stands in the messages.
///
/// # Errors
/// [`PhotoError`].
pub fn read_picture(
    name: &Path,
    bytes: &[u8],
    limits: &ReadLimits,
    watch: &Watch,
) -> Result<Picture, PhotoError> {
    if bytes.len() as u64 > limits.most_bytes {
        return Err(PhotoError::TooManyBytes {
            file: name.to_path_buf(),
            most_bytes: limits.most_bytes,
        });
    }
    let decoded = decode(name, Cow::Borrowed(bytes), limits, watch)?;
    finish(name, decoded, watch)
}

/// The file's bytes, in pieces, so that cancelling is felt on a slow disk or network.
fn load(file: &Path, limits: &ReadLimits, watch: &Watch) -> Result<Vec<u8>, PhotoError> {
    const PIECE: u64 = 1 << 20;
    Stage::Load.begin(file, watch)?;
    let fail = |error: std::io::Error| PhotoError::from_io(file, &error);
    // Asked before opening: opening a pipe would wait for its other end.
    let metadata = std::fs::metadata(file).map_err(fail)?;
    if !metadata.is_file() {
        return Err(PhotoError::NotAFile {
            file: file.to_path_buf(),
        });
    }
    let too_long = || PhotoError::TooManyBytes {
        file: file.to_path_buf(),
        most_bytes: limits.most_bytes,
    };
    let length = metadata.len();
    if length > limits.most_bytes {
        return Err(too_long());
    }
    let mut source = File::open(file).map_err(fail)?;
    // Within the limit, which fits memory.
    let mut bytes = Vec::with_capacity(usize::try_from(length).unwrap_or(0));
    loop {
        go_on(file, watch)?;
        if (&mut source).take(PIECE).read_to_end(&mut bytes).map_err(fail)? == 0 {
            return Ok(bytes);
        }
        // A file may grow while it is read.
        if bytes.len() as u64 > limits.most_bytes {
            return Err(too_long());
        }
        Stage::Load.report(watch, bytes.len() as f32 / length.max(1) as f32);
    }
}

fn decode(
    name: &Path,
    bytes: Cow<'_, [u8]>,
    limits: &ReadLimits,
    watch: &Watch,
) -> Result<Decoded, PhotoError> {
    let file = || name.to_path_buf();
    Stage::Decode.begin(name, watch)?;
    if bytes.is_empty() {
        return Err(PhotoError::Empty { file: file() });
    }
    let format = match recognise(&bytes) {
        Recognised::Read(format) => format,
        Recognised::Other { kind, advice } => {
            return Err(PhotoError::OtherKind {
                file: file(),
                kind,
                advice,
            });
        }
        Recognised::NoPicture { found } => return Err(PhotoError::NotAPicture { file: file(), found }),
    };
    // The codecs are others' code on a stranger's bytes: a slip in them must cost the picture and not the program.
    catch_unwind(AssertUnwindSafe(|| match format {
        Format::Jpeg => jpeg::decode(name, bytes, limits),
        Format::Png => other_codecs::decode(name, &bytes, Codec::Png, limits, watch),
        Format::Tiff => other_codecs::decode(name, &bytes, Codec::Tiff, limits, watch),
        Format::WebP => other_codecs::decode(name, &bytes, Codec::WebP, limits, watch),
    }))
    .unwrap_or_else(|_| {
        Err(PhotoError::Damaged {
            file: file(),
            reason: "its data make no sense".into(),
        })
    })
}

fn finish(name: &Path, decoded: Decoded, watch: &Watch) -> Result<Picture, PhotoError> {
    let Decoded {
        pixels,
        profile,
        orientation: flag,
        was_cmyk,
    } = decoded;
    Stage::Colour.begin(name, watch)?;
    let mut notes = Vec::new();
    let colours = AssertUnwindSafe(|| pixels.into_srgb(profile.as_deref(), was_cmyk, &mut notes));
    // As above: a profile is a stranger's bytes too.
    let stored = catch_unwind(colours).map_err(|_| PhotoError::Damaged {
        file: name.to_path_buf(),
        reason: "its colour profile makes no sense".into(),
    })?;
    Stage::Turn.begin(name, watch)?;
    let upright = orientation::upright(stored, flag);
    Stage::Pyramid.begin(name, watch)?;
    let picture = Picture::with_notes(upright, notes);
    watch.report(1.0);
    Ok(picture)
}
