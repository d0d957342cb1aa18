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
    fn pixel(&self, block: &[u8], stride: usize, phase_x: u8, phase_y: u8) -> Option<Word>;
}

/// The bytes from `at` on.
#[inline]
fn bytes<const N: usize>(block: &[u8], at: usize) -> Option<&[u8; N]> {
    block.get(at..)?.first_chunk()
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
    fn pixel(&self, block: &[u8], stride: usize, phase_x: u8, phase_y: u8) -> Option<Word> {
        let upper = u16x8::from_u8x16_low(u8x16::new(*bytes(block, 0)?));
        let lower = u16x8::from_u8x16_low(u8x16::new(*bytes(block, stride)?));
        let [up, low] = self.rows[usize::from(phase_y)];
        // In 1/256 of a level: r0 g0 b0 r1 g1 b1.
        let mixed = upper * u16x8::new(up) + lower * u16x8::new(low);
        let weighed = mixed.mul_keep_high(u16x8::new(self.columns[usize::from(phase_x)]));
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
    fn pixel(&self, block: &[u8], stride: usize, phase_x: u8, phase_y: u8) -> Option<Word> {
        let (rows, columns) = (
            &self.rows[usize::from(phase_y)],
            &self.columns[usize::from(phase_x)],
        );
        // Down the columns first: for each value of the row, the sum over all rows, in units of 1 / UNIT.
        let mut sums = [i32x4::ZERO; QUADS];
        let mut at = 0;
        for weights in rows {
            let weights = i16x8::new(*weights);
            let add = |upper: u8x16, lower: u8x16, quads: &mut [i32x4]| {
                let (left, right) = (u8x16::unpack_low(upper, lower), u8x16::unpack_high(upper, lower));
                let values = [
                    i16x8::from_u8x16_low(left),
                    i16x8::from_u8x16_high(left),
                    i16x8::from_u8x16_low(right),
                    i16x8::from_u8x16_high(right),
                ];
                for (quad, value) in quads.iter_mut().zip(values) {
                    *quad += value.dot(weights);
                }
            };
            if QUADS > 4 {
                let (upper, lower): (&[u8; 32], &[u8; 32]) = (bytes(block, at)?, bytes(block, at + stride)?);
                let (first, second) = sums.split_at_mut(4);
                let half = |row: &[u8; 32], i: usize| u8x16::new(std::array::from_fn(|k| row[16 * i + k]));
                add(half(upper, 0), half(lower, 0), first);
                add(half(upper, 1), half(lower, 1), second);
            } else {
                add(
                    u8x16::new(*bytes(block, at)?),
                    u8x16::new(*bytes(block, at + stride)?),
                    &mut sums,
                );
            }
            at += 2 * stride;
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
