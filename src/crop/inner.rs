//! The inner loops: one pixel from a block of rows of interleaved RGB.
//!
//! Each works on `block`, whose rows lie `stride` bytes apart and whose first byte is the red value of the first tap of
//! the first row; so the same code serves the picture itself and a small copy at its border, and no seam can show.

use wide::{f32x4, i16x8, i32x4, i32x8, u8x16, u16x8};

use super::kernel::{CubicTaps, LinearTaps};

/// Opaque alpha in the little-endian word of an RGBA pixel.
const OPAQUE: u32 = 0xFF00_0000;

/// An RGBA pixel as a little-endian word.
pub(super) type Word = u32;

/// One way to make a pixel from its neighbourhood.
pub(super) trait Inner {
    /// Rows and columns of taps.
    const TAPS: usize;
    /// How many bytes of each row are loaded, which is more than the taps take.
    const ROW_BYTES: usize;

    /// The pixel; None where the block is too short. Phases are in 1/256 px.
    fn pixel(&self, block: &[u8], stride: usize, phase_x: usize, phase_y: usize) -> Option<Word>;
}

#[inline]
fn sixteen(block: &[u8], at: usize) -> Option<u8x16> {
    Some(u8x16::new(block.get(at..at + 16)?.try_into().ok()?))
}

/// Four values to bytes, clamped to 0 to 255.
#[inline]
fn to_word(values: i16x8) -> Word {
    let words: [u32; 4] = bytemuck::cast(u8x16::narrow_i16x8(values, values));
    words[0] | OPAQUE
}

impl Inner for LinearTaps {
    const TAPS: usize = 2;
    const ROW_BYTES: usize = 16;

    #[inline]
    fn pixel(&self, block: &[u8], stride: usize, phase_x: usize, phase_y: usize) -> Option<Word> {
        let block = block.get(..stride + 16)?;
        let upper = u16x8::from_u8x16_low(sixteen(block, 0)?);
        let lower = u16x8::from_u8x16_low(sixteen(block, stride)?);
        let [up, low] = self.rows.get(phase_y)?;
        // In 1/256 of a level: r0 g0 b0 r1 g1 b1.
        let mixed = upper * u16x8::new(*up) + lower * u16x8::new(*low);
        let weighed = mixed.mul_keep_high(u16x8::new(*self.columns.get(phase_x)?));
        let w = weighed.to_array();
        let right = u16x8::new([w[3], w[4], w[5], 0, 0, 0, 0, 0]);
        let levels = (weighed + right + u16x8::splat(128)).unbounded_shr_scalar(8);
        Some(to_word(bytemuck::cast(levels)))
    }
}

impl<const PAIRS: usize, const QUADS: usize> Inner for CubicTaps<PAIRS, QUADS> {
    const TAPS: usize = 2 * PAIRS;
    const ROW_BYTES: usize = if QUADS > 4 { 32 } else { 16 };

    #[inline]
    fn pixel(&self, block: &[u8], stride: usize, phase_x: usize, phase_y: usize) -> Option<Word> {
        let block = block.get(..(2 * PAIRS - 1) * stride + Self::ROW_BYTES)?;
        let rows = self.rows.get(phase_y)?;
        let columns = self.columns.get(phase_x)?;
        // Down the columns first: for each value of the row, the sum over all rows, in units of 1 / UNIT.
        let mut sums = [i32x4::ZERO; QUADS];
        for (pair, weights) in rows.iter().enumerate() {
            let weights = i16x8::new(*weights);
            let mut quads = sums.iter_mut();
            let mut at = 2 * pair * stride;
            while at < 2 * pair * stride + Self::ROW_BYTES {
                let (upper, lower) = (sixteen(block, at)?, sixteen(block, at + stride)?);
                let (left, right) = (u8x16::unpack_low(upper, lower), u8x16::unpack_high(upper, lower));
                let values = [
                    i16x8::from_u8x16_low(left),
                    i16x8::from_u8x16_high(left),
                    i16x8::from_u8x16_low(right),
                    i16x8::from_u8x16_high(right),
                ];
                for (value, quad) in values.into_iter().zip(&mut quads) {
                    *quad += value.dot(weights);
                }
                at += 16;
            }
        }
        // Then along the row: pixel i's values are at 3 i to 3 i + 2.
        let mut flat = [[0f32; 4]; QUADS];
        for ((flat, sum), weights) in flat.iter_mut().zip(sums).zip(columns) {
            *flat = (f32x4::from_i32x4(sum) * f32x4::new(*weights)).to_array();
        }
        let flat: &[f32] = flat.as_flattened();
        let mut total = f32x4::splat(0.5);
        for value in flat.chunks_exact(3).take(2 * PAIRS) {
            total += f32x4::new([value[0], value[1], value[2], 0.0]);
        }
        // Below zero truncation rounds the wrong way, and the bytes are clamped to zero anyhow.
        let [r, g, b, _] = total.fast_trunc_int().to_array();
        Some(to_word(i16x8::from_i32x8_saturate(i32x8::new([
            r, g, b, 0, 0, 0, 0, 0,
        ]))))
    }
}
