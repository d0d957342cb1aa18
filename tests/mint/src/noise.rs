//! Reproducible noise: a hash of whole-number places, and smooth value noise between them.

/// A number in 0..1 that depends on the place and the seed alone.
#[must_use]
pub(super) fn hash01(x: i32, y: i32, seed: u32) -> f32 {
    // Integer mixing after the finaliser of MurmurHash3 (public domain, Austin Appleby).
    let mut h = (x as u32).wrapping_mul(0x8da6_b343) ^ (y as u32).wrapping_mul(0xd816_3841) ^ seed;
    h ^= h >> 16;
    h = h.wrapping_mul(0x85eb_ca6b);
    h ^= h >> 13;
    h = h.wrapping_mul(0xc2b2_ae35);
    h ^= h >> 16;
    (h >> 8) as f32 / 16_777_216.0
}

/// Smooth noise in -1..1 with features about one unit across.
#[must_use]
pub(super) fn value_noise(x: f32, y: f32, seed: u32) -> f32 {
    let (x0, y0) = (x.floor(), y.floor());
    let (u, v) = (fade(x - x0), fade(y - y0));
    let (xi, yi) = (x0 as i32, y0 as i32);
    let a = hash01(xi, yi, seed);
    let b = hash01(xi + 1, yi, seed);
    let c = hash01(xi, yi + 1, seed);
    let d = hash01(xi + 1, yi + 1, seed);
    let top = a + (b - a) * u;
    let bottom = c + (d - c) * u;
    2.0 * (top + (bottom - top) * v) - 1.0
}

/// Several octaves of [`value_noise`], each half as large and half as strong as the one before; about -1..1.
#[must_use]
pub(super) fn fractal_noise(x: f32, y: f32, octaves: u32, seed: u32) -> f32 {
    let (mut sum, mut weight, mut total, mut scale) = (0.0, 1.0, 0.0, 1.0);
    for octave in 0..octaves {
        sum += weight * value_noise(x * scale, y * scale, seed.wrapping_add(octave * 7919));
        total += weight;
        weight *= 0.5;
        scale *= 2.03;
    }
    sum / total
}

/// 0 below `from`, 1 above `to`, smooth between.
#[must_use]
pub(super) fn smoothstep(from: f32, to: f32, x: f32) -> f32 {
    let t = ((x - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

fn fade(t: f32) -> f32 {
    t * t * t * (t * (t * 6.0 - 15.0) + 10.0)
}
