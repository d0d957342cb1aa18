//! Halved copies of a picture.

use image::RgbImage;
use rayon::prelude::*;

/// A picture this small, in px along its longer side, is not halved again.
const SMALLEST_PX: u32 = 8;

/// The picture and its halved copies, full size first.
pub(super) fn build(full: RgbImage) -> Vec<RgbImage> {
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
fn halve(source: &RgbImage) -> RgbImage {
    let (w, h) = source.dimensions();
    let (out_w, out_h) = (w.div_ceil(2), h.div_ceil(2));
    let stride = w as usize * 3;
    let values: &[u8] = source;
    let mut out = RgbImage::new(out_w, out_h);
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
            for (x, o) in row.chunks_exact_mut(3).take(w as usize / 2).enumerate() {
                o.copy_from_slice(&mean_of_four(&upper[6 * x..], &lower[6 * x..]));
            }
            if w % 2 == 1 {
                let (o, i) = (row.len() - 3, stride - 3);
                for c in 0..3 {
                    row[o + c] = (u16::from(upper[i + c]) + u16::from(lower[i + c])).div_ceil(2) as u8;
                }
            }
        });
    out
}

/// The rounded mean of the first two pixels of both rows. Where there is room eight bytes are taken at once, and every
/// second byte of them is added in one go.
#[inline]
fn mean_of_four(upper: &[u8], lower: &[u8]) -> [u8; 3] {
    const EVERY_SECOND: u64 = 0x00FF_00FF_00FF_00FF;
    if let (Some(a), Some(b)) = (upper.first_chunk::<8>(), lower.first_chunk::<8>()) {
        let (a, b) = (u64::from_le_bytes(*a), u64::from_le_bytes(*b));
        // 16-bit lanes: bytes 0 2 4 6 and bytes 1 3 5 7; a pixel's channels are 3 bytes apart.
        let even = (a & EVERY_SECOND) + (b & EVERY_SECOND);
        let odd = ((a >> 8) & EVERY_SECOND) + ((b >> 8) & EVERY_SECOND);
        let red_blue = even + (odd >> 16);
        let green = odd + (even >> 32);
        let mean = |sum: u64| (((sum & 0xFFFF) + 2) >> 2) as u8;
        return [mean(red_blue), mean(green), mean(red_blue >> 16)];
    }
    std::array::from_fn(|c| {
        let value = |row: &[u8], i: usize| u16::from(row.get(i).copied().unwrap_or(0));
        ((value(upper, c) + value(upper, c + 3) + value(lower, c) + value(lower, c + 3) + 2) >> 2) as u8
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::Rgb;

    #[test]
    fn halves_are_means_and_odd_edges_are_kept() {
        let full = RgbImage::from_fn(5, 3, |x, y| Rgb([(x * 10 + y) as u8, 100, 200]));
        let half = halve(&full);
        assert_eq!(half.dimensions(), (3, 2));
        // (0 + 10 + 1 + 11 + 2) / 4
        assert_eq!(half.get_pixel(0, 0).0, [6, 100, 200]);
        // Last column: (40 + 41) / 2, rounded up; last row: (2 + 12 + 2 + 12 + 2) / 4.
        assert_eq!(half.get_pixel(2, 0).0[0], 41);
        assert_eq!(half.get_pixel(0, 1).0[0], 7);
    }

    #[test]
    fn the_quick_way_is_the_plain_way() {
        let full = RgbImage::from_fn(64, 8, |x, y| {
            Rgb([x * y * 91, x * 57 + y * 3, y * 201 + x * x].map(|v| v as u8))
        });
        let half = halve(&full);
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
        assert_eq!(build(RgbImage::new(0, 0)).len(), 1);
        assert_eq!(
            build(RgbImage::new(1000, 1)).last().map(RgbImage::dimensions),
            Some((8, 1))
        );
    }
}
