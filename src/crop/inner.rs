//! The inner loops: one pixel from a block of rows of interleaved RGB.
//!
//! Each works on `block`, whose rows lie `stride` bytes apart and whose first byte is the red value of the first tap of
//! the first row; so the same code serves the picture itself and a small copy at its border, and no seam can show.

use wide::{f32x4, i16x8, i32x4, i32x8, u8x16};

use super::kernel::CubicTaps;

/// Opaque alpha in the little-endian word of an RGBA pixel.
const OPAQUE: u32 = 0xFF00_0000;

/// An RGBA pixel as a little-endian word.
pub(super) type Word = u32;

/// Red, green and blue in whole levels, not yet kept within 0 to 255, and a fourth value without meaning.
pub(super) type Levels = i32x4;

/// One way to make a pixel from its neighbourhood.
pub(super) trait Inner {
    /// Rows and columns of taps.
    const TAPS: usize;
    /// How many bytes of each row are loaded, which is more than the taps take.
    const ROW_BYTES: usize;

    /// How long the block is.
    #[inline(always)]
    fn block_bytes(stride: usize) -> usize {
        (Self::TAPS - 1) * stride + Self::ROW_BYTES
    }

    /// The pixel; None where the block is too short. The phases along x and y are in 1/256 px.
    fn pixel(&self, block: &[u8], stride: usize, phase: (u8, u8)) -> Option<Levels>;
}

/// Four opaque pixels, clamped to 0 to 255.
#[inline(always)]
pub(super) fn to_words([a, b, c, d]: [Levels; 4]) -> [Word; 4] {
    let pair = |first: Levels, second: Levels| {
        i16x8::from_i32x8_saturate(bytemuck::cast::<[i32x4; 2], i32x8>([first, second]))
    };
    let words: [Word; 4] = bytemuck::cast(u8x16::narrow_i16x8(pair(a, b), pair(c, d)));
    words.map(|word| word | OPAQUE)
}

/// The bytes from `at` on.
#[inline(always)]
fn bytes<const N: usize>(block: &[u8], at: usize) -> Option<&[u8; N]> {
    block.get(at..)?.first_chunk()
}

impl<const PAIRS: usize, const QUADS: usize> Inner for CubicTaps<PAIRS, QUADS> {
    const TAPS: usize = 2 * PAIRS;
    const ROW_BYTES: usize = if QUADS > 4 { 32 } else { 16 };

    #[inline(always)]
    fn pixel(&self, block: &[u8], stride: usize, (phase_x, phase_y): (u8, u8)) -> Option<Levels> {
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
        Some(total.fast_trunc_int())
    }
}
