//! The positions of a run of crop pixels in the picture, in fixed point.

use super::kernel::PHASES;

/// Pixels of a row that are placed together.
pub(super) const RUN: usize = 64;

const PHASE_BITS: u32 = PHASES.trailing_zeros();

/// Where the pixels of a run take their taps: rows of the picture are `stride` bytes apart, and the first tap lies
/// `before` pixels left of and above the pixel at or before the position.
#[derive(Debug, Clone, Copy)]
pub(super) struct Grid {
    pub stride: u32,
    pub before: u32,
}

/// For each pixel of a run where its first tap begins, in bytes, and how far beyond its pixel it lies.
#[derive(Debug)]
pub(super) struct Run {
    at: [u32; RUN],
    /// Along x in the lowest byte, along y in the next, in 1/256 px.
    phases: [u32; RUN],
}

/// How far a parabola through the first, middle and last position of a run strays from the positions themselves, in px:
/// that of interpolation at three points h apart is u''' h^3 / (9 sqrt 3), and along u = (a x + b) / (g x + c) the
/// third derivative is 6 u' (g / (g x + c))^2. `step` is the greatest u', `tilt` the greatest |g / (g x + c)|.
pub(super) fn straying(tilt: f64, step: f64) -> f64 {
    let h = RUN as f64 / 2.0;
    6.0 * step * tilt * tilt * h.powi(3) / (9.0 * 3f64.sqrt())
}

/// A run may reach this many px, so that the fixed point of [`Run::parabola`] holds it.
pub(super) const REACH_PX: f64 = 120.0;

impl Default for Run {
    fn default() -> Self {
        Self {
            at: [0; RUN],
            phases: [0; RUN],
        }
    }
}

impl Run {
    /// A row of pixels under a projective map is nearly a parabola: through the first, the middle and the last
    /// position, (x, y) in px and inside the picture, of `count` pixels.
    #[inline(always)]
    pub(super) fn parabola(&mut self, [first, middle, last]: [(f64, f64); 3], count: usize, grid: Grid) {
        let per_step = 2.0 / (count.max(2) - 1) as f64;
        let x = Curve::through([first.0, middle.0, last.0], per_step);
        let y = Curve::through([first.1, middle.1, last.1], per_step);
        // Of the whole run, whatever its count, and without a choice: the compiler takes many at once.
        for (i, (at, phases)) in self.at.iter_mut().zip(&mut self.phases).enumerate() {
            let (x, y) = (x.position(i as i32), y.position(i as i32));
            (*at, *phases) = grid.first_tap(x, y);
        }
    }

    /// From positions inside the picture, in px, one after the other.
    #[inline(always)]
    pub(super) fn exact(&mut self, mut next: impl FnMut() -> (f64, f64), count: usize, grid: Grid) {
        let fixed = |v: f64| {
            let v = (v * PHASES as f64 + 0.5) as u32;
            (v >> PHASE_BITS, v & (PHASES as u32 - 1))
        };
        for (at, phases) in self.at.iter_mut().zip(&mut self.phases).take(count) {
            let (x, y) = next();
            (*at, *phases) = grid.first_tap(fixed(x), fixed(y));
        }
    }

    /// Each pixel's first tap, in bytes, and its phases along x and y.
    #[inline(always)]
    pub(super) fn taps(&self) -> impl Iterator<Item = (usize, (u8, u8))> {
        self.at
            .iter()
            .zip(&self.phases)
            .map(|(at, phases)| (*at as usize, (*phases as u8, (*phases >> 8) as u8)))
    }
}

impl Grid {
    /// From the whole px and the phase of both coordinates.
    #[inline(always)]
    fn first_tap(self, (x, phase_x): (u32, u32), (y, phase_y): (u32, u32)) -> (u32, u32) {
        let (column, row) = (x.wrapping_sub(self.before), y.wrapping_sub(self.before));
        let at = row.wrapping_mul(self.stride).wrapping_add(column.wrapping_mul(3));
        (at, phase_x | (phase_y << 8))
    }
}

/// One coordinate of a run: whole px, and in 2^-24 px what lies beyond them, the step to the next pixel and by how much
/// the step grows.
#[derive(Debug, Clone, Copy)]
struct Curve {
    whole: u32,
    beyond: i32,
    step: i32,
    bend: i32,
}

impl Curve {
    const BITS: u32 = 24;

    #[inline(always)]
    fn through([first, middle, last]: [f64; 3], per_step: f64) -> Self {
        let fixed = |v: f64| (v * f64::from(1 << Self::BITS)) as i32;
        // v(t) = first + slope t + half_bend t^2, t in steps.
        let half_bend = (first - 2.0 * middle + last) / 2.0 * per_step * per_step;
        let slope = (4.0 * middle - 3.0 * first - last) / 2.0 * per_step;
        let whole = first as u32;
        Self {
            whole,
            // Half a phase more, so that cutting off rounds.
            beyond: fixed(first - f64::from(whole)) + (1 << (Self::BITS - PHASE_BITS - 1)),
            step: fixed(slope + half_bend),
            bend: fixed(2.0 * half_bend),
        }
    }

    /// The whole px and the phase after `i` steps.
    #[inline(always)]
    fn position(self, i: i32) -> (u32, u32) {
        let beyond = self
            .beyond
            .wrapping_add(self.step.wrapping_mul(i))
            .wrapping_add(self.bend.wrapping_mul(i * (i - 1) / 2));
        let whole = self.whole.wrapping_add((beyond >> Self::BITS) as u32);
        let phase = (beyond >> (Self::BITS - PHASE_BITS)) as u32 & (PHASES as u32 - 1);
        (whole, phase)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a position says: px with the phase as their fraction.
    fn px(grid: Grid, (at, (phase_x, phase_y)): (usize, (u8, u8))) -> (f64, f64) {
        let (row, column) = (at / grid.stride as usize, at % grid.stride as usize / 3);
        let before = f64::from(grid.before);
        (
            column as f64 + before + f64::from(phase_x) / 256.0,
            row as f64 + before + f64::from(phase_y) / 256.0,
        )
    }

    #[test]
    fn a_parabola_keeps_to_a_tilted_row() {
        let grid = Grid {
            stride: 3 * 9000,
            before: 1,
        };
        let tilt = 3e-4;
        for (x0, y0, dx, dy) in [
            (4000.3, 5000.9, 0.9, -0.4),
            (8000.7, 700.2, -1.2, 1.1),
            (50.0, 60.0, 0.01, 0.3),
        ] {
            // A row with w = 1 + tilt i, its first step about (dx, dy).
            let position = |i: f64| {
                let w = 1.0 + tilt * i;
                ((x0 + (dx + tilt * x0) * i) / w, (y0 + (dy + tilt * y0) * i) / w)
            };
            let allowed = straying(tilt, f64::hypot(dx, dy)) + 1.0 / 512.0 + 1e-4;
            for count in [64, 63, 17, 2, 1] {
                let last = (count - 1) as f64;
                let (mut run, mut exact) = (Run::default(), Run::default());
                run.parabola([position(0.0), position(last / 2.0), position(last)], count, grid);
                let mut i = 0.0;
                let next = || {
                    i += 1.0;
                    position(i - 1.0)
                };
                exact.exact(next, count, grid);
                for (i, (quick, exact)) in run.taps().zip(exact.taps()).take(count).enumerate() {
                    let ((u, v), (eu, ev)) = (position(i as f64), px(grid, exact));
                    assert!((eu - u).abs() <= 1.0 / 511.0 && (ev - v).abs() <= 1.0 / 511.0);
                    let (qu, qv) = px(grid, quick);
                    assert!(
                        (qu - u).abs() <= allowed && (qv - v).abs() <= allowed,
                        "{i} of {count}: {qu} {qv} for {u} {v}"
                    );
                }
            }
        }
    }
}
