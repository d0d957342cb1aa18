//! The linear start of a homography.

use nalgebra::{DMatrix, Matrix3};

use super::Correspondence;

/// Maps points to ones with centroid zero and mean distance from it of the square root of two.
fn normaliser(points: impl Iterator<Item = (f64, f64)> + Clone) -> Option<Matrix3<f64>> {
    let n = points.clone().count() as f64;
    let (sx, sy) = points.clone().fold((0.0, 0.0), |(a, b), (x, y)| (a + x, b + y));
    let (cx, cy) = (sx / n, sy / n);
    let mean = points.map(|(x, y)| (x - cx).hypot(y - cy)).sum::<f64>() / n;
    if !(mean.is_finite() && mean > 0.0) {
        return None;
    }
    let k = std::f64::consts::SQRT_2 / mean;
    Some(Matrix3::new(k, 0.0, -k * cx, 0.0, k, -k * cy, 0.0, 0.0, 1.0))
}

/// The normalised direct linear transform: Hartley & Zisserman, Multiple View Geometry, 2nd ed. (2004), algorithm
/// 4.2. None where the points are too few, coincide or are not finite.
pub(super) fn direct_linear(points: &[Correspondence]) -> Option<Matrix3<f64>> {
    if points.len() < 4 {
        return None;
    }
    let on_side = normaliser(points.iter().map(|c| (c.on_side.x, c.on_side.y)))?;
    let in_picture = normaliser(points.iter().map(|c| (c.in_picture.x, c.in_picture.y)))?;
    // Nine rows at least, so that the thin decomposition still holds the null vector of four points.
    let mut rows = DMatrix::zeros((2 * points.len()).max(9), 9);
    for (i, c) in points.iter().enumerate() {
        let x = on_side[(0, 0)] * c.on_side.x + on_side[(0, 2)];
        let y = on_side[(0, 0)] * c.on_side.y + on_side[(1, 2)];
        let u = in_picture[(0, 0)] * c.in_picture.x + in_picture[(0, 2)];
        let v = in_picture[(0, 0)] * c.in_picture.y + in_picture[(1, 2)];
        let pairs = [
            [0.0, 0.0, 0.0, -x, -y, -1.0, v * x, v * y, v],
            [x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y, -u],
        ];
        for (k, row) in pairs.iter().enumerate() {
            for (j, value) in row.iter().enumerate() {
                rows[(2 * i + k, j)] = *value;
            }
        }
    }
    let decomposed = rows.try_svd(false, true, f64::EPSILON, 500)?;
    let v_t = decomposed.v_t?;
    let (smallest, _) = decomposed.singular_values.argmin();
    let h = v_t.row(smallest);
    let h = Matrix3::new(h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], h[8]);
    Some(in_picture.try_inverse()? * h * on_side)
}
