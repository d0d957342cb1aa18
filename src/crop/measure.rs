//! Distance, height and angle on a side, with their uncertainty. Points are in side mm; no picture is needed.

use crate::geometry::SidePoint;

/// How uncertain points read from a crop are. Both are standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasureNoise {
    /// Of placing a point, for each coordinate, in mm.
    pub placing_mm: f64,
    /// Of the alignment's scale, as a share (0.01 is 1 %).
    pub scale_share: f64,
}

impl MeasureNoise {
    /// For points placed by hand on a crop.
    #[must_use]
    pub fn by_hand(px_per_mm: f64, scale_share: f64) -> Self {
        Self {
            placing_mm: HAND_PLACING_PX / px_per_mm,
            scale_share,
        }
    }
}

/// How well a hand places a point on a crop, in crop px for each coordinate, one standard deviation. From memory of
/// pointing at edges on a screen; no source.
pub const HAND_PLACING_PX: f64 = 1.0;

/// Standard deviations to each side that hold 95 % of a normal distribution.
const SIGMAS_95: f64 = 1.959_964;

/// A measured value with its uncertainty, both in mm or both in degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// The value.
    pub value: f64,
    /// Its standard deviation, to first order.
    pub sigma: f64,
}

impl Measured {
    /// Half the width of the 95 % interval.
    #[must_use]
    pub fn half_width_95(&self) -> f64 {
        SIGMAS_95 * self.sigma
    }

    /// How far it lies from a stated value, in standard deviations of both together; `stated_sigma` is 0 where the
    /// statement counts as exact.
    #[must_use]
    pub fn deviation_from(&self, stated: f64, stated_sigma: f64) -> f64 {
        let together = self.sigma.hypot(stated_sigma);
        if together > 0.0 {
            (self.value - stated) / together
        } else {
            f64::INFINITY
        }
    }
}

/// The distance of two points, in mm.
#[must_use]
pub fn distance(a: SidePoint, b: SidePoint, noise: &MeasureNoise) -> Measured {
    let value = (b - a).length();
    Measured {
        value,
        // Along the line both ends move it by their own error.
        sigma: (noise.placing_mm * 2f64.sqrt()).hypot(value * noise.scale_share),
    }
}

/// The distance of two points along the side's y axis, in mm: the height of a letter or figure of an upright design.
#[must_use]
pub fn height(a: SidePoint, b: SidePoint, noise: &MeasureNoise) -> Measured {
    let value = (b.y - a.y).abs();
    Measured {
        value,
        sigma: (noise.placing_mm * 2f64.sqrt()).hypot(value * noise.scale_share),
    }
}

/// The angle at `corner` between the arms to `a` and `b`, 0 to 180 degrees. The scale's error does not matter to it.
/// None where an arm has no length.
#[must_use]
pub fn angle(a: SidePoint, corner: SidePoint, b: SidePoint, noise: &MeasureNoise) -> Option<Measured> {
    let (u, v) = (a - corner, b - corner);
    let (uu, vv) = (u.square_length(), v.square_length());
    if uu <= 0.0 || vv <= 0.0 {
        return None;
    }
    // The direction of an arm turns by (its normal / its length squared) for each mm of its end; the corner moves both.
    let (du, dv) = ((-u.y / uu, u.x / uu), (-v.y / vv, v.x / vv));
    let corner_part = (du.0 - dv.0).hypot(du.1 - dv.1);
    let rotation = (1.0 / uu + 1.0 / vv + corner_part * corner_part).sqrt() * noise.placing_mm;
    Some(Measured {
        value: u.cross(v).atan2(u.dot(v)).abs().to_degrees(),
        sigma: rotation.to_degrees(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;
    use rand_chacha::ChaCha8Rng;
    use rand_distr::{Distribution, Normal};

    /// Standard deviation of `f` over points with noise, by 20,000 trials.
    fn spread(points: [SidePoint; 3], noise: &MeasureNoise, f: impl Fn([SidePoint; 3]) -> f64) -> f64 {
        let mut rng = ChaCha8Rng::seed_from_u64(11);
        let position = Normal::new(0.0, noise.placing_mm).unwrap();
        let scale = Normal::new(1.0, noise.scale_share).unwrap();
        let values: Vec<f64> = (0..20_000)
            .map(|_| {
                let k = scale.sample(&mut rng);
                f(points.map(|p| {
                    SidePoint::new(
                        k * p.x + position.sample(&mut rng),
                        k * p.y + position.sample(&mut rng),
                    )
                }))
            })
            .collect();
        let mean = values.iter().sum::<f64>() / values.len() as f64;
        (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / values.len() as f64).sqrt()
    }

    #[test]
    fn stated_uncertainties_are_those_of_trials() {
        let noise = MeasureNoise {
            placing_mm: 0.02,
            scale_share: 0.01,
        };
        let points = [
            SidePoint::new(1.0, 2.0),
            SidePoint::new(2.1, 2.5),
            SidePoint::new(1.4, 4.0),
        ];
        let [a, b, c] = points;
        let checks = [
            (
                distance(a, c, &noise).sigma,
                spread(points, &noise, |[a, _, c]| distance(a, c, &noise).value),
            ),
            (
                height(a, c, &noise).sigma,
                spread(points, &noise, |[a, _, c]| height(a, c, &noise).value),
            ),
            (
                angle(a, b, c, &noise).unwrap().sigma,
                spread(points, &noise, |[a, b, c]| angle(a, b, c, &noise).unwrap().value),
            ),
        ];
        for (stated, seen) in checks {
            // 20,000 trials know a standard deviation to 0.5 %.
            assert!((stated / seen - 1.0).abs() < 0.03, "{stated} against {seen}");
        }
    }

    #[test]
    fn values_are_those_of_school_geometry() {
        let noise = MeasureNoise::by_hand(40.0, 0.0);
        let (o, a, b) = (
            SidePoint::new(1.0, 1.0),
            SidePoint::new(4.0, 5.0),
            SidePoint::new(5.0, -2.0),
        );
        assert!((distance(o, a, &noise).value - 5.0).abs() < 1e-12);
        assert!((height(o, a, &noise).value - 4.0).abs() < 1e-12);
        assert!((angle(a, o, b, &noise).unwrap().value - 90.0).abs() < 1e-12);
        assert!(angle(o, o, b, &noise).is_none());
        assert!((distance(o, a, &noise).sigma - 2f64.sqrt() / 40.0).abs() < 1e-12);
        let m = Measured {
            value: 1.2,
            sigma: 0.03,
        };
        assert!((m.deviation_from(1.05, 0.04) - 3.0).abs() < 1e-9);
    }
}
