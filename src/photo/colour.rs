//! Bringing a decoded picture to 8-bit sRGB by its embedded profile.

use image::{DynamicImage, GrayImage, ImageBuffer, Luma, Rgb};
use moxcms::{ColorProfile, DataColorSpace, Layout, TransformExecutor, TransformOptions};
use rayon::prelude::*;

use super::PictureNote;
use super::buffer::{Buffer, Level, blank, level};

/// Pixels in one of the forms that differ for colour; transparent parts are already laid on white.
pub(super) enum Pixels {
    Grey8(GrayImage),
    Rgb8(Level),
    Grey16(ImageBuffer<Luma<u16>, Vec<u16>>),
    Rgb16(ImageBuffer<Rgb<u16>, Vec<u16>>),
}

impl Pixels {
    pub(super) fn grey8(width: u32, height: u32, buffer: Vec<u8>) -> Option<Self> {
        GrayImage::from_raw(width, height, buffer).map(Self::Grey8)
    }

    pub(super) fn rgb8(width: u32, height: u32, buffer: Buffer) -> Option<Self> {
        Level::from_raw(width, height, buffer).map(Self::Rgb8)
    }

    /// Takes any of `image`'s forms; alpha is blended onto white in the stored values.
    pub(super) fn from_image(image: DynamicImage) -> Self {
        let over8 = |v: u8, a: u8| {
            let (v, a) = (u32::from(v), u32::from(a));
            ((v * a + 255 * (255 - a) + 127) / 255) as u8
        };
        let over16 = |v: u16, a: u16| {
            let (v, a) = (u64::from(v), u64::from(a));
            ((v * a + 65535 * (65535 - a) + 32767) / 65535) as u16
        };
        match image {
            DynamicImage::ImageLuma8(grey) => Self::Grey8(grey),
            DynamicImage::ImageRgb8(rgb) => Self::Rgb8(level(rgb)),
            DynamicImage::ImageLuma16(grey) => Self::Grey16(grey),
            DynamicImage::ImageRgb16(rgb) => Self::Rgb16(rgb),
            DynamicImage::ImageLumaA8(p) => {
                let (w, h) = p.dimensions();
                Self::Grey8(ImageBuffer::from_fn(w, h, |x, y| {
                    let [v, a] = p.get_pixel(x, y).0;
                    Luma([over8(v, a)])
                }))
            }
            DynamicImage::ImageRgba8(p) => {
                let (w, h) = p.dimensions();
                Self::Rgb8(level(ImageBuffer::from_fn(w, h, |x, y| {
                    let [r, g, b, a] = p.get_pixel(x, y).0;
                    Rgb([r, g, b].map(|v| over8(v, a)))
                })))
            }
            DynamicImage::ImageLumaA16(p) => {
                let (w, h) = p.dimensions();
                Self::Grey16(ImageBuffer::from_fn(w, h, |x, y| {
                    let [v, a] = p.get_pixel(x, y).0;
                    Luma([over16(v, a)])
                }))
            }
            other => {
                let p = other.into_rgba16();
                let (w, h) = p.dimensions();
                Self::Rgb16(ImageBuffer::from_fn(w, h, |x, y| {
                    let [r, g, b, a] = p.get_pixel(x, y).0;
                    Rgb([r, g, b].map(|v| over16(v, a)))
                }))
            }
        }
    }

    /// To sRGB. Without a profile, or with one that cannot be used, the values count as sRGB; the latter leaves a note.
    pub(super) fn into_srgb(
        self,
        profile: Option<&[u8]>,
        was_cmyk: bool,
        notes: &mut Vec<PictureNote>,
    ) -> Level {
        let Some(profile) = profile else {
            if was_cmyk {
                notes.push(PictureNote::PrintColours);
            }
            return self.with_stored_values();
        };
        if was_cmyk {
            notes.push(PictureNote::PrintColours);
            return self.with_stored_values();
        }
        match self.convert(profile) {
            Ok(rgb) => rgb,
            Err(as_it_was) => {
                notes.push(PictureNote::BrokenProfile);
                as_it_was.with_stored_values()
            }
        }
    }

    fn is_grey(&self) -> bool {
        matches!(self, Self::Grey8(_) | Self::Grey16(_))
    }

    fn with_stored_values(self) -> Level {
        match self {
            Self::Rgb8(rgb) => rgb,
            Self::Grey8(grey) => level(DynamicImage::ImageLuma8(grey).into_rgb8()),
            Self::Grey16(grey) => level(DynamicImage::ImageLuma16(grey).into_rgb8()),
            Self::Rgb16(rgb) => level(DynamicImage::ImageRgb16(rgb).into_rgb8()),
        }
    }

    /// Converts by the profile; gives the pixels back untouched where the profile is broken or for other pixels.
    fn convert(self, profile: &[u8]) -> Result<Level, Self> {
        let Ok(source) = ColorProfile::new_from_slice(profile) else {
            return Err(self);
        };
        let fits = match source.color_space {
            DataColorSpace::Gray => self.is_grey(),
            DataColorSpace::Rgb => !self.is_grey(),
            _ => false,
        };
        if !fits {
            return Err(self);
        }
        let srgb = ColorProfile::new_srgb();
        let layout = if self.is_grey() { Layout::Gray } else { Layout::Rgb };
        let options = TransformOptions::default();
        match self {
            Self::Rgb8(mut rgb) => {
                let Ok(transform) = source.create_transform_8bit(layout, &srgb, Layout::Rgb, options) else {
                    return Err(Self::Rgb8(rgb));
                };
                if leaves_as_is(&*transform) {
                    return Ok(rgb);
                }
                let band = BAND_PX * 3;
                let done = rgb.par_chunks_mut(band).try_for_each_init(
                    || vec![0u8; band],
                    |scratch, pixels| {
                        let scratch = &mut scratch[..pixels.len()];
                        scratch.copy_from_slice(pixels);
                        transform.transform(scratch, pixels)
                    },
                );
                if done.is_err() {
                    return Err(Self::Rgb8(rgb));
                }
                Ok(rgb)
            }
            Self::Grey8(grey) => match source.create_transform_8bit(layout, &srgb, Layout::Rgb, options) {
                Ok(transform) => to_rgb8(&grey, 1, &*transform, |v| v).ok_or(Self::Grey8(grey)),
                Err(_) => Err(Self::Grey8(grey)),
            },
            Self::Grey16(grey) => match source.create_transform_16bit(layout, &srgb, Layout::Rgb, options) {
                Ok(transform) => to_rgb8(&grey, 1, &*transform, to_8_bit).ok_or(Self::Grey16(grey)),
                Err(_) => Err(Self::Grey16(grey)),
            },
            Self::Rgb16(rgb) => match source.create_transform_16bit(layout, &srgb, Layout::Rgb, options) {
                Ok(transform) => to_rgb8(&rgb, 3, &*transform, to_8_bit).ok_or(Self::Rgb16(rgb)),
                Err(_) => Err(Self::Rgb16(rgb)),
            },
        }
    }
}

/// How many pixels are converted at once: the scratch beside them stays in the processor's cache.
const BAND_PX: usize = 8192;

/// 65535 = 257 x 255, so this rounds exactly.
fn to_8_bit(v: u16) -> u8 {
    ((u32::from(v) + 128) / 257) as u8
}

/// Converts into a new 8-bit picture, band by band; None where the transform refuses.
fn to_rgb8<P, T>(
    source: &ImageBuffer<P, Vec<T>>,
    channels: usize,
    transform: &(dyn TransformExecutor<T> + Send + Sync),
    to_u8: impl Fn(T) -> u8 + Sync,
) -> Option<Level>
where
    P: image::Pixel<Subpixel = T>,
    T: image::Primitive + Send + Sync + Default + std::fmt::Debug,
{
    let mut out = blank(source.width(), source.height());
    let values: &[T] = source;
    out.par_chunks_mut(BAND_PX * 3)
        .zip(values.par_chunks(BAND_PX * channels))
        .try_for_each_init(
            || vec![T::default(); BAND_PX * 3],
            |scratch, (out, values)| {
                let scratch = &mut scratch[..out.len()];
                transform.transform(values, scratch)?;
                for (o, v) in out.iter_mut().zip(scratch.iter()) {
                    *o = to_u8(*v);
                }
                Ok::<(), moxcms::CmsError>(())
            },
        )
        .ok()?;
    Some(out)
}

/// Whether a profile is sRGB in all but name: on a grid through the cube no value moves by more than a rounding step.
/// Then the pixels are left alone, which is faster and adds no rounding.
fn leaves_as_is(transform: &(dyn TransformExecutor<u8> + Send + Sync)) -> bool {
    const STEPS: usize = 18;
    let values: Vec<u8> = (0..STEPS).map(|i| (i * 15) as u8).collect();
    let mut grid = Vec::with_capacity(STEPS * STEPS * STEPS * 3);
    for &r in &values {
        for &g in &values {
            for &b in &values {
                grid.extend([r, g, b]);
            }
        }
    }
    let mut out = vec![0u8; grid.len()];
    transform.transform(&grid, &mut out).is_ok() && grid.iter().zip(&out).all(|(a, b)| a.abs_diff(*b) <= 1)
}
