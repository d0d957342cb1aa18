//! Halved copies of a picture.

use rayon::prelude::*;

use super::Level;
use super::buffer::blank;
use super::processor::Instructions;

/// A picture this small, in px along its longer side, is not halved again.
const SMALLEST_PX: u32 = 8;

/// The picture and its halved copies, full size first.
pub(super) fn build(full: Level) -> Vec<Level> {
    let mut levels = vec![full];
    while let Some(last) = levels.last() {
        if last.width().max(last.height()) <= SMALLEST_PX {
            break;
        }
        let next = halve(last);
        levels.push(next);
    }
    levels
}

/// The mean of each 2 x 2 px; a last odd row or column is repeated, so that nothing of the edge is lost.
fn halve(source: &Level) -> Level {
    let (w, h) = source.dimensions();
    let (out_w, out_h) = (w.div_ceil(2), h.div_ceil(2));
    let stride = w as usize * 3;
    let values: &[u8] = source;
    let mut out = blank(out_w, out_h);
    if out_w == 0 || out_h == 0 {
        return out;
    }
    out.par_chunks_mut(out_w as usize * 3)
        .enumerate()
        .for_each(|(y, row)| {
            let upper = &values[2 * y * stride..][..stride];
            let lower = values
                .get((2 * y + 1) * stride..)
                .and_then(|rest| rest.get(..stride))
                .unwrap_or(upper);
            Instructions::Best.run(
                #[inline(always)]
                || halve_row(upper, lower, &mut row[..w as usize / 2 * 3]),
            );
            if w % 2 == 1 {
                let (o, i) = (row.len() - 3, stride - 3);
                for c in 0..3 {
                    row[o + c] = (u16::from(upper[i + c]) + u16::from(lower[i + c])).div_ceil(2) as u8;
                }
            }
        });
    out
}

/// The rounded means of each two pixels of both rows, of which `upper` and `lower` hold the values.
#[inline(always)]
fn halve_row(upper: &[u8], lower: &[u8], out: &mut [u8]) {
    /// Pixels made at once: few, to stay in the nearest cache, and a multiple of four.
    const AT_ONCE: usize = 128;
    const IN: usize = 6 * AT_ONCE;
    let mut means = [0u8; IN];
    let mut done = 0;
    for out in out.chunks_exact_mut(3 * AT_ONCE) {
        // The mean of each value and its neighbour, also of those in between that are not wanted: the compiler takes
        // many at once, which outweighs half of them in vain.
        let rows = (upper.get(done..done + IN + 3), lower.get(done..done + IN + 3));
        let (Some(upper), Some(lower)) = rows else {
            break;
        };
        for (i, mean) in means.iter_mut().enumerate() {
            *mean = mean_of_four(upper, lower, i);
        }
        let (fours, _) = out.as_chunks_mut::<12>();
        let (values, _) = means.as_chunks::<24>();
        for (four, values) in fours.iter_mut().zip(values) {
            *four = without_gaps(values);
        }
        done += IN;
    }
    for (x, out) in out.chunks_exact_mut(3).enumerate().skip(done / 6) {
        for (c, out) in out.iter_mut().enumerate() {
            *out = mean_of_four(upper, lower, 6 * x + c);
        }
    }
}

#[inline(always)]
fn mean_of_four(upper: &[u8], lower: &[u8], i: usize) -> u8 {
    let [a, b, c, d] = [upper[i], upper[i + 3], lower[i], lower[i + 3]].map(u16::from);
    ((a + b + c + d + 2) >> 2) as u8
}

/// The first three of each six bytes.
#[inline(always)]
fn without_gaps(values: &[u8; 24]) -> [u8; 12] {
    let pixel =
        |i: usize| u32::from_le_bytes([values[i], values[i + 1], values[i + 2], values[i + 3]]) & 0x00FF_FFFF;
    let [a, b, c, d] = [pixel(0), pixel(6), pixel(12), pixel(18)];
    let words = [a | (b << 24), (b >> 8) | (c << 16), (c >> 16) | (d << 8)];
    bytemuck::cast(words.map(u32::to_le))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::buffer::level;
    use image::{Rgb, RgbImage};

    #[test]
    fn halves_are_means_and_odd_edges_are_kept() {
        let full = RgbImage::from_fn(5, 3, |x, y| Rgb([(x * 10 + y) as u8, 100, 200]));
        let half = halve(&level(full.clone()));
        assert_eq!(half.dimensions(), (3, 2));
        // (0 + 10 + 1 + 11 + 2) / 4
        assert_eq!(half.get_pixel(0, 0).0, [6, 100, 200]);
        // Last column: (40 + 41) / 2, rounded up; last row: (2 + 12 + 2 + 12 + 2) / 4.
        assert_eq!(half.get_pixel(2, 0).0[0], 41);
        assert_eq!(half.get_pixel(0, 1).0[0], 7);
    }

    #[test]
    fn the_quick_way_is_the_plain_way() {
        let full = RgbImage::from_fn(700, 8, |x, y| {
            Rgb([x * y * 91, x * 57 + y * 3, y * 201 + x * x].map(|v| v as u8))
        });
        let half = halve(&level(full.clone()));
        for (x, y, p) in half.enumerate_pixels() {
            let truth: [u8; 3] = std::array::from_fn(|c| {
                let at = |dx, dy| u32::from(full.get_pixel(2 * x + dx, 2 * y + dy).0[c]);
                ((at(0, 0) + at(1, 0) + at(0, 1) + at(1, 1) + 2) / 4) as u8
            });
            assert_eq!(p.0, truth, "at {x}, {y}");
        }
    }

    #[test]
    fn the_pyramid_ends() {
        assert_eq!(build(blank(0, 0)).len(), 1);
        assert_eq!(build(blank(1000, 1)).last().map(Level::dimensions), Some((8, 1)));
    }
}
