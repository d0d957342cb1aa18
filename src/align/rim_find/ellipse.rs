//! Ellipses: form, direct fit, distance.

use nalgebra::{DMatrix, Matrix3, Vector3};

/// The flattest ellipse that is a coin: tilted by 45 degrees.
const LEAST_AXES_RATIO: f64 = 0.7;

/// An ellipse in px of some level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ellipse {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) long: f64,
    pub(super) short: f64,
    /// The rotation of the long axis from x towards y, in radians.
    pub(super) rotation: f64,
}

impl Ellipse {
    /// The mean of the half axes, by area.
    pub(super) fn mean_radius(&self) -> f64 {
        (self.long * self.short).sqrt()
    }

    /// Whether a coin can look so, tilted as far as anyone photographs one.
    pub(super) fn may_be_a_coin(&self) -> bool {
        self.short > LEAST_AXES_RATIO * self.long
    }

    /// The same in another level of the pyramid.
    pub(super) fn to_level(self, from: usize, to: usize) -> Self {
        let scale = 2.0_f64.powi(from as i32 - to as i32);
        Self {
            x: (self.x + 0.5) * scale - 0.5,
            y: (self.y + 0.5) * scale - 0.5,
            long: self.long * scale,
            short: self.short * scale,
            rotation: self.rotation,
        }
    }

    /// The circle of the same centre and area.
    pub(super) fn rounded(self) -> Self {
        let radius = self.mean_radius();
        Self {
            long: radius,
            short: radius,
            ..self
        }
    }

    /// The distance from the centre to the edge in a direction, in radians from x towards y.
    pub(super) fn reach(&self, direction: f64) -> f64 {
        let (sin, cos) = (direction - self.rotation).sin_cos();
        (cos / self.long).hypot(sin / self.short).recip()
    }

    /// The ellipse of least algebraic distance: R. Halir & J. Flusser, Numerically stable direct least squares
    /// fitting of ellipses, WSCG 1998. Five points or more; none where they fix no ellipse.
    pub(super) fn fit(points: &[(f64, f64)]) -> Option<Self> {
        if points.len() < 5 {
            return None;
        }
        let n = points.len() as f64;
        let (mx, my) = (
            points.iter().map(|p| p.0).sum::<f64>() / n,
            points.iter().map(|p| p.1).sum::<f64>() / n,
        );
        let scale = points.iter().map(|p| (p.0 - mx).hypot(p.1 - my)).sum::<f64>() / n;
        if scale.is_nan() || scale <= 0.0 {
            return None;
        }
        let (mut s1, mut s2, mut s3) = (Matrix3::zeros(), Matrix3::zeros(), Matrix3::zeros());
        for p in points {
            let (x, y) = ((p.0 - mx) / scale, (p.1 - my) / scale);
            let quadratic = Vector3::new(x * x, x * y, y * y);
            let linear = Vector3::new(x, y, 1.0);
            s1 += quadratic * quadratic.transpose();
            s2 += quadratic * linear.transpose();
            s3 += linear * linear.transpose();
        }
        let to_linear = -s3.try_inverse()? * s2.transpose();
        let reduced = s1 + s2 * to_linear;
        // The inverse of the constraint matrix of 4ac - b^2 = 1.
        let m = Matrix3::from_rows(&[reduced.row(2) / 2.0, -reduced.row(1), reduced.row(0) / 2.0]);
        let values = DMatrix::from_iterator(3, 3, m.iter().copied()).eigenvalues()?;
        let quadratic = values.iter().find_map(|value| {
            let v = null_vector(&(m - Matrix3::identity() * *value))?;
            (4.0 * v.x * v.z - v.y * v.y > 0.0).then_some(v)
        })?;
        let linear = to_linear * quadratic;
        let unit = Self::of_conic(quadratic, linear)?;
        Some(Self {
            x: unit.x * scale + mx,
            y: unit.y * scale + my,
            long: unit.long * scale,
            short: unit.short * scale,
            rotation: unit.rotation,
        })
    }

    /// Of a x^2 + b x y + c y^2 + d x + e y + f = 0.
    fn of_conic(q: Vector3<f64>, l: Vector3<f64>) -> Option<Self> {
        let (a, b, c) = (q.x, q.y, q.z);
        let determinant = 4.0 * a * c - b * b;
        let x = (b * l.y - 2.0 * c * l.x) / determinant;
        let y = (b * l.x - 2.0 * a * l.y) / determinant;
        let level = -(l.z + (l.x * x + l.y * y) / 2.0);
        let (mean, half) = ((a + c) / 2.0, ((a - c) / 2.0).hypot(b / 2.0));
        let (one, other) = (level / (mean - half), level / (mean + half));
        // Whatever the conic's sign, both squares are positive for a real ellipse.
        let (long, short) = if one.abs() >= other.abs() {
            (one, other)
        } else {
            (other, one)
        };
        if !(long > 0.0 && short > 0.0 && long.is_finite()) {
            return None;
        }
        // The axis of the larger eigenvalue of [[a, b/2], [b/2, c]] ...
        let steep = 0.5 * b.atan2(a - c);
        // ... is the short axis when the conic is positive inside out.
        let rotation = if mean > 0.0 {
            steep + std::f64::consts::FRAC_PI_2
        } else {
            steep
        };
        Some(Self {
            x,
            y,
            long: long.sqrt(),
            short: short.sqrt(),
            rotation,
        })
    }
}

/// A vector that a singular matrix takes to zero: the longest cross product of two of its rows.
fn null_vector(m: &Matrix3<f64>) -> Option<Vector3<f64>> {
    let row = |i: usize| m.row(i).transpose();
    let crosses = [
        row(0).cross(&row(1)),
        row(1).cross(&row(2)),
        row(2).cross(&row(0)),
    ];
    let longest = crosses
        .into_iter()
        .max_by(|a, b| a.norm_squared().total_cmp(&b.norm_squared()))?;
    longest.try_normalize(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn on(ellipse: &Ellipse, count: usize, noise: f64) -> Vec<(f64, f64)> {
        (0..count)
            .map(|i| {
                let t = std::f64::consts::TAU * i as f64 / count as f64;
                let r = ellipse.reach(t) + noise * (i as f64 * 7.3).sin();
                (ellipse.x + r * t.cos(), ellipse.y + r * t.sin())
            })
            .collect()
    }

    #[test]
    fn exact_points_give_the_ellipse_back() {
        for rotation in [0.0, 0.4, 1.2, -1.0] {
            let truth = Ellipse {
                x: 310.0,
                y: -42.0,
                long: 105.0,
                short: 91.0,
                rotation,
            };
            let found = Ellipse::fit(&on(&truth, 40, 0.0)).unwrap();
            assert!((found.x - truth.x).abs() < 1e-6 && (found.y - truth.y).abs() < 1e-6);
            assert!((found.long - truth.long).abs() < 1e-6 && (found.short - truth.short).abs() < 1e-6);
            let off = (found.rotation - truth.rotation).rem_euclid(std::f64::consts::PI);
            assert!(off.min(std::f64::consts::PI - off) < 1e-7, "{off}");
            // Five points on half of it do too.
            let half: Vec<_> = on(&truth, 10, 0.0)[..5].to_vec();
            let found = Ellipse::fit(&half).unwrap();
            assert!((found.long - truth.long).abs() < 1e-4, "{found:?}");
        }
    }

    #[test]
    fn points_on_a_line_give_none() {
        let line: Vec<_> = (0..9).map(|i| (f64::from(i), 2.0 * f64::from(i))).collect();
        assert_eq!(Ellipse::fit(&line), None);
    }
}
