//! A mixture of Gaussians in the plane.

use nalgebra::{Matrix2, Vector2};

use super::radius::{Blob, radius_holding};

/// Parts whose covariances differ by less than this share of the smaller one's trace, and whose means by less than the
/// root of [`SAME_MEAN`] of it, are as good as one Gaussian of the same moments: merging them moves the 95 % radius by
/// less than 1 % and makes it several times quicker to find.
const SAME_COVARIANCE: f64 = 0.6;
const SAME_MEAN: f64 = 0.2;

/// One Gaussian and its share.
#[derive(Debug, Clone, Copy)]
struct Part {
    share: f64,
    mean: Vector2<f64>,
    covariance: Matrix2<f64>,
}

/// Gaussians, each with its share of the whole.
#[derive(Debug, Clone)]
pub(super) struct Mixture(Vec<Part>);

impl Mixture {
    /// Of shares, means and covariances.
    pub(super) fn of(parts: impl Iterator<Item = (f64, Vector2<f64>, Matrix2<f64>)>) -> Self {
        let mut parts: Vec<Part> = parts
            .map(|(share, mean, covariance)| Part {
                share,
                mean,
                covariance,
            })
            .collect();
        parts.sort_by(|a, b| b.share.total_cmp(&a.share));
        let mut merged: Vec<Part> = Vec::new();
        for part in parts {
            match merged.iter_mut().find(|other| other.is_like(&part)) {
                Some(other) => *other = other.with(&part),
                None => merged.push(part),
            }
        }
        Self(merged)
    }

    /// The expected square of the error, as a matrix.
    pub(super) fn square(&self) -> Matrix2<f64> {
        let square = |p: &Part| (p.covariance + p.mean * p.mean.transpose()) * p.share;
        self.0.iter().map(square).sum()
    }

    /// The radius about the origin that holds so much of it.
    pub(super) fn radius_holding(&self, probability: f64) -> f64 {
        let blobs = self.0.iter().map(|p| Blob::new(p.share, p.mean, &p.covariance));
        radius_holding(probability, &blobs.collect::<Vec<_>>())
    }
}

impl Part {
    fn is_like(&self, other: &Self) -> bool {
        let trace = self.covariance.trace().min(other.covariance.trace());
        (self.covariance - other.covariance).norm() < SAME_COVARIANCE * trace
            && (self.mean - other.mean).norm_squared() < SAME_MEAN * trace
    }

    /// Both as one of the same moments.
    fn with(&self, other: &Self) -> Self {
        let share = self.share + other.share;
        let (a, b) = (self.share / share, other.share / share);
        let apart = self.mean - other.mean;
        Self {
            share,
            mean: self.mean * a + other.mean * b,
            covariance: self.covariance * a + other.covariance * b + apart * apart.transpose() * (a * b),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of parts that are alike and parts that are not, the moments stay and the radius is that of all parts, each apart.
    #[test]
    fn merging_keeps_moments_and_radius() {
        let part = |share: f64, x: f64, y: f64, a: f64, b: f64, c: f64| {
            (share, Vector2::new(x, y), Matrix2::new(a, b, b, c))
        };
        let parts = [
            part(0.4, 0.1, 0.0, 1.0, 0.2, 0.8),
            part(0.2, 0.0, -0.2, 1.2, 0.1, 0.9),
            part(0.1, 0.2, 0.1, 0.9, 0.3, 1.0),
            part(0.2, 2.0, 1.0, 0.5, 0.0, 0.4),
            part(0.1, 0.0, 0.0, 6.0, 1.0, 5.0),
        ];
        let merged = Mixture::of(parts.into_iter());
        assert_eq!(merged.0.len(), 3);
        let square: Matrix2<f64> = parts.iter().map(|(s, m, c)| (c + m * m.transpose()) * *s).sum();
        assert!((merged.square() - square).norm() < 1e-12);
        let apart: Vec<Blob> = parts.iter().map(|(s, m, c)| Blob::new(*s, *m, c)).collect();
        let expected = radius_holding(0.95, &apart);
        let radius = merged.radius_holding(0.95);
        assert!((radius / expected - 1.0).abs() < 0.01, "{radius} {expected}");
    }
}
