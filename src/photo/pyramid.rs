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
            let pairs = upper.chunks_exact(6).zip(lower.chunks_exact(6));
            for (o, (a, b)) in row.chunks_exact_mut(3).zip(pairs) {
                for c in 0..3 {
                    let sum = u16::from(a[c]) + u16::from(a[c + 3]) + u16::from(b[c]) + u16::from(b[c + 3]);
                    o[c] = ((sum + 2) >> 2) as u8;
                }
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
    fn the_pyramid_ends() {
        assert_eq!(build(RgbImage::new(0, 0)).len(), 1);
        assert_eq!(
            build(RgbImage::new(1000, 1)).last().map(RgbImage::dimensions),
            Some((8, 1))
        );
    }
}
