//! Applying the camera's orientation flag, in place: a phone photo is nearly always turned, and a second copy of it
//! would double the memory.

use image::ImageBuffer;
use image::metadata::Orientation;
use rayon::prelude::*;

use super::Level;
use super::buffer::{level, of_size};

const CHANNELS: usize = 3;

/// The picture as it is to be seen. The flag says what must be done to the stored rows (EXIF 2.3, tag 0x0112).
pub(super) fn upright(stored: Level, flag: Orientation) -> Level {
    // A quarter turn is a transposition and then a mirroring.
    match flag {
        Orientation::NoTransforms => stored,
        Orientation::FlipHorizontal => mirrored(stored, Mirror::LeftRight),
        Orientation::FlipVertical => mirrored(stored, Mirror::TopBottom),
        Orientation::Rotate180 => mirrored(mirrored(stored, Mirror::LeftRight), Mirror::TopBottom),
        Orientation::Rotate90FlipH => transposed(stored),
        Orientation::Rotate90 => mirrored(transposed(stored), Mirror::LeftRight),
        Orientation::Rotate270 => mirrored(transposed(stored), Mirror::TopBottom),
        Orientation::Rotate270FlipH => {
            mirrored(mirrored(transposed(stored), Mirror::LeftRight), Mirror::TopBottom)
        }
    }
}

#[derive(Debug, Clone, Copy)]
enum Mirror {
    LeftRight,
    TopBottom,
}

fn mirrored(mut image: Level, mirror: Mirror) -> Level {
    let stride = image.width() as usize * CHANNELS;
    if stride == 0 {
        return image;
    }
    match mirror {
        Mirror::LeftRight => image
            .par_chunks_exact_mut(stride)
            .for_each(|row| row.as_chunks_mut::<CHANNELS>().0.reverse()),
        Mirror::TopBottom => {
            let half = image.height() as usize / 2 * stride;
            let (upper, rest) = image.split_at_mut(half);
            let start = rest.len() - half;
            upper
                .par_chunks_exact_mut(stride)
                .zip(rest[start..].par_chunks_exact_mut(stride).rev())
                .for_each(|(a, b)| a.swap_with_slice(b));
        }
    }
    image
}

/// Rows become columns. The picture is cut into equal tiles; each strip of tiles is put in tile order, the tiles change
/// positions along the cycles of the permutation, and strips are put back in row order: beside the picture no more than
/// a strip is held.
fn transposed(image: Level) -> Level {
    /// A strip is at most this many px high.
    const MOST: usize = 64;
    /// With smaller tiles moving them costs more than a second picture.
    const LEAST_PX: usize = 64;
    let (width, height) = (image.width() as usize, image.height() as usize);
    let (tile_w, tile_h) = (greatest_divisor(width, MOST), greatest_divisor(height, MOST));
    if tile_w * tile_h < LEAST_PX {
        return level(ImageBuffer::from_fn(image.height(), image.width(), |x, y| {
            *image.get_pixel(y, x)
        }));
    }
    let (new_width, new_height) = (image.height(), image.width());
    let mut values = image.into_raw();
    let tile = tile_w * tile_h * CHANNELS;

    // Each strip: from rows of the picture to tiles one after the other, each transposed.
    let strip = width * tile_h * CHANNELS;
    values
        .par_chunks_exact_mut(strip)
        .for_each_init(Vec::new, |scratch, strip| {
            scratch.clear();
            scratch.extend_from_slice(strip);
            let (from, _) = scratch.as_chunks::<CHANNELS>();
            let (to, _) = strip.as_chunks_mut::<CHANNELS>();
            for (t, to) in to.chunks_exact_mut(tile_w * tile_h).enumerate() {
                for (x, column) in to.chunks_exact_mut(tile_h).enumerate() {
                    for (y, pixel) in column.iter_mut().enumerate() {
                        *pixel = from[y * width + t * tile_w + x];
                    }
                }
            }
        });

    transpose_tiles(&mut values, tile, width / tile_w, height / tile_h);

    // Each new strip: from tiles to rows.
    let strip = height * tile_w * CHANNELS;
    let row = tile_h * CHANNELS;
    values
        .par_chunks_exact_mut(strip)
        .for_each_init(Vec::new, |scratch, strip| {
            scratch.clear();
            scratch.extend_from_slice(strip);
            for (t, tile) in scratch.chunks_exact(tile).enumerate() {
                for (y, from) in tile.chunks_exact(row).enumerate() {
                    strip[y * height * CHANNELS + t * row..][..row].copy_from_slice(from);
                }
            }
        });
    // The length is that of before.
    of_size(new_width, new_height, values)
}

/// Transposes a grid of `columns` x `rows` tiles of `tile` bytes, which lie row by row.
fn transpose_tiles(values: &mut [u8], tile: usize, columns: usize, rows: usize) {
    let count = columns * rows;
    let mut done = vec![false; count];
    let mut held = vec![0u8; tile];
    for start in 0..count {
        if done[start] {
            continue;
        }
        // Pulls into each position the tile that belongs there, until the cycle closes.
        held.copy_from_slice(&values[start * tile..][..tile]);
        let mut position = start;
        loop {
            done[position] = true;
            // Place c * rows + r of the new grid takes tile r * columns + c of the old.
            let source = position % rows * columns + position / rows;
            if source == start {
                values[position * tile..][..tile].copy_from_slice(&held);
                break;
            }
            values.copy_within(source * tile..(source + 1) * tile, position * tile);
            position = source;
        }
    }
}

fn greatest_divisor(of: usize, most: usize) -> usize {
    (1..=most.min(of))
        .rev()
        .find(|d| of.is_multiple_of(*d))
        .unwrap_or(1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{DynamicImage, Rgb, RgbImage};

    #[test]
    fn every_turn_of_every_shape_is_that_of_the_image_crate() {
        // Divisible by much, by little, prime, and flat.
        for (width, height) in [
            (48, 36),
            (120, 70),
            (53, 31),
            (64, 1),
            (1, 7),
            (130, 97),
            (14, 22),
        ] {
            let stored = RgbImage::from_fn(width, height, |x, y| {
                Rgb([x as u8, y as u8, (x * 7 + y * 13) as u8])
            });
            for flag in 1..=8 {
                let flag = Orientation::from_exif(flag).unwrap();
                let mut truth = DynamicImage::ImageRgb8(stored.clone());
                truth.apply_orientation(flag);
                assert!(
                    upright(level(stored.clone()), flag) == level(truth.into_rgb8()),
                    "{flag:?} of {width} x {height}"
                );
            }
        }
    }
}
