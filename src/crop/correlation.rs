//! The correlation of two crops of one frame.

use image::RgbaImage;

use crate::photo::luma;

/// Fewer pixels than this in common say nothing.
const LEAST_PIXELS: usize = 100;

/// The correlation of the luma of two crops of one size, -1 to 1, over the pixels that both reach (Pearson's
/// coefficient; the zero-mean normalised cross-correlation at no shift). None where they are not of one size, share
/// too little, or one of them is flat.
#[must_use]
pub fn correlation(first: &RgbaImage, second: &RgbaImage) -> Option<f64> {
    if first.dimensions() != second.dimensions() {
        return None;
    }
    let level = |p: &image::Rgba<u8>| f64::from(luma([p.0[0], p.0[1], p.0[2]]));
    let pairs: Vec<(f64, f64)> = first
        .pixels()
        .zip(second.pixels())
        .filter(|(a, b)| a.0[3] > 0 && b.0[3] > 0)
        .map(|(a, b)| (level(a), level(b)))
        .collect();
    if pairs.len() < LEAST_PIXELS {
        return None;
    }
    let n = pairs.len() as f64;
    let (sum_a, sum_b) = pairs.iter().fold((0.0, 0.0), |(a, b), (x, y)| (a + x, b + y));
    let (mean_a, mean_b) = (sum_a / n, sum_b / n);
    let (aa, bb, ab) = pairs.iter().fold((0.0, 0.0, 0.0), |(aa, bb, ab), (x, y)| {
        let (dx, dy) = (x - mean_a, y - mean_b);
        (aa + dx * dx, bb + dy * dy, ab + dx * dy)
    });
    (aa > 0.0 && bb > 0.0).then(|| ab / (aa * bb).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::Rgba;

    fn drawn(value: impl Fn(u32, u32) -> u8) -> RgbaImage {
        RgbaImage::from_fn(20, 20, |x, y| {
            let v = value(x, y);
            Rgba([v, v, v, 255])
        })
    }

    #[test]
    fn equal_crops_give_one_opposed_ones_minus_one_and_flat_ones_none() {
        let a = drawn(|x, _| (x * 10) as u8);
        let near = |x: Option<f64>, y: f64| (x.unwrap() - y).abs() < 1e-9;
        assert!(near(correlation(&a, &a), 1.0));
        assert!(near(correlation(&a, &drawn(|x, _| (x * 5 + 90) as u8)), 1.0));
        assert!(near(correlation(&a, &drawn(|x, _| 250 - (x * 10) as u8)), -1.0));
        assert!(near(correlation(&a, &drawn(|_, y| (y * 10) as u8)), 0.0));
        assert_eq!(correlation(&a, &drawn(|_, _| 7)), None);
        assert_eq!(correlation(&a, &RgbaImage::new(20, 20)), None);
        assert_eq!(correlation(&a, &RgbaImage::new(3, 3)), None);
    }
}
