//! How a small square of the plate lies in a photo whose transform is only roughly known.

use nalgebra::{Matrix2, Matrix3, Vector2, Vector3};

/// A linear map of offsets from a position on the side, in mm: what the plate shows at an offset, the photo shows where
/// its transform, as far as it is known, has the mapped one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct LocalMap {
    /// Where the position itself is.
    pub(super) shift: Vector2<f64>,
    /// How the square about it is stretched, sheared and turned.
    pub(super) linear: Matrix2<f64>,
}

impl LocalMap {
    /// By a shift alone.
    pub(super) fn shifted(shift: Vector2<f64>) -> Self {
        Self {
            shift,
            linear: Matrix2::identity(),
        }
    }

    /// Where an offset goes.
    pub(super) fn apply(&self, offset: Vector2<f64>) -> Vector2<f64> {
        self.linear * offset + self.shift
    }

    /// The map for what, read by this one, was found to be mapped by `by` in the square.
    pub(super) fn after(&self, by: &Self) -> Self {
        Self {
            shift: self.apply(by.shift),
            linear: self.linear * by.linear,
        }
    }

    /// How far it is from a shift alone: the Frobenius norm of the difference.
    pub(super) fn distortion(&self) -> f64 {
        (self.linear - Matrix2::identity()).norm()
    }
}

/// A part of the square, found moved.
#[derive(Debug, Clone, Copy)]
pub(super) struct Moved {
    /// The part's middle, in mm.
    pub(super) at: Vector2<f64>,
    /// By how much it was found moved, in mm.
    pub(super) by: Vector2<f64>,
    /// How much it counts.
    pub(super) weight: f64,
}

/// How often the weights are taken anew.
const ROUNDS: usize = 8;

/// The map that moves all parts as they were found, with the root mean square distance that is left, in mm; none where
/// the parts lie in a line. Parts further than `free_mm` from it count less the further they are: Huber's weights
/// (Robust Statistics, 1981) by iterated least squares, so that a few parts whose edges the light has moved do not
/// pull the others along.
pub(super) fn fit_moved(parts: &[Moved], free_mm: f64) -> Option<(LocalMap, f64)> {
    let off = |map: &LocalMap, part: &Moved| (map.apply(part.at) - part.at - part.by).norm();
    let mut map = least_squares(parts)?;
    for _ in 1..ROUNDS {
        let weighed: Vec<Moved> = parts
            .iter()
            .map(|part| Moved {
                weight: part.weight * (free_mm / off(&map, part).max(free_mm)),
                ..*part
            })
            .collect();
        map = least_squares(&weighed)?;
    }
    let squares: f64 = parts.iter().map(|part| off(&map, part).powi(2)).sum();
    Some((map, (squares / parts.len() as f64).sqrt()))
}

fn least_squares(parts: &[Moved]) -> Option<LocalMap> {
    let mut normal = Matrix3::zeros();
    let (mut right_x, mut right_y) = (Vector3::zeros(), Vector3::zeros());
    for part in parts {
        let row = Vector3::new(1.0, part.at.x, part.at.y);
        normal += part.weight * row * row.transpose();
        right_x += part.weight * part.by.x * row;
        right_y += part.weight * part.by.y * row;
    }
    let inverse = normal.try_inverse()?;
    let (x, y) = (inverse * right_x, inverse * right_y);
    Some(LocalMap {
        shift: Vector2::new(x[0], y[0]),
        linear: Matrix2::new(1.0 + x[1], x[2], y[1], 1.0 + y[2]),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One part of sixteen lies far off; the others still give the map that moved them.
    #[test]
    fn one_stray_part_hardly_moves_the_map() {
        let truth = LocalMap {
            shift: Vector2::new(0.02, -0.01),
            linear: Matrix2::new(0.98, 0.003, -0.002, 1.004),
        };
        let mut parts: Vec<Moved> = (0..16)
            .map(|k| {
                let at = Vector2::new(f64::from(k % 4) * 2.0 - 3.0, f64::from(k / 4) * 2.0 - 3.0);
                let by = truth.apply(at) - at;
                Moved { at, by, weight: 1.0 }
            })
            .collect();
        let (map, left) = fit_moved(&parts, 0.001).unwrap();
        assert!((map.shift - truth.shift).norm() < 1e-12 && (map.linear - truth.linear).norm() < 1e-12);
        assert!(left < 1e-12);
        parts[3].by.x += 0.1;
        let (map, left) = fit_moved(&parts, 0.001).unwrap();
        assert!((map.shift - truth.shift).norm() < 0.001, "{map:?}");
        assert!(left > 0.02);
        assert!(fit_moved(&parts[..2], 0.001).is_none());
    }

    /// What is mapped by one map and then found mapped by another lies where both together put it.
    #[test]
    fn a_map_after_another_puts_places_where_both_do() {
        let first = LocalMap {
            shift: Vector2::new(0.3, 0.1),
            linear: Matrix2::new(1.1, 0.2, 0.0, 0.9),
        };
        let second = LocalMap {
            shift: Vector2::new(-0.1, 0.2),
            linear: Matrix2::new(0.9, 0.0, 0.1, 1.0),
        };
        let at = Vector2::new(1.5, -0.7);
        let both = first.after(&second).apply(at);
        assert!((both - first.apply(second.apply(at))).norm() < 1e-12);
    }
}
