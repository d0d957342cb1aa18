//! A small network that reads an unrolled ring: for each position how likely the coin's outline runs there.
//!
//! Which of the edges about a coin is its outline (the rim's inner edge, the rounded fall of a fresh flan's edge, the
//! wall of a tilted one, the shadow at its foot, the edge of what lies below) is plain to an eye and hard to write
//! down. The network learnt it from photos of minted coins, whose outline is known to a fraction of a px, by
//! `tests/scripts/learn_rim.py`, which also writes the weights. It sees nothing but the ring: no design, no set.

use std::sync::LazyLock;

use nalgebra::{DMatrix, DMatrixView};
use rayon::prelude::*;

use super::strip::{CHANNELS, COLUMNS, SECTORS, Strip};

/// What lies between the layers, values a position.
const HIDDEN: usize = 16;
/// The layers: how many sectors and columns each looks at about a position, and how far apart the columns are. Together
/// they see two sectors each side and 30 columns, 6 % of the radius.
const SHAPES: [Shape; 5] = [
    Shape::new(CHANNELS, 3, 5, 1),
    Shape::new(HIDDEN, 1, 5, 2),
    Shape::new(HIDDEN, 3, 5, 4),
    Shape::new(HIDDEN, 1, 5, 8),
    Shape::new(HIDDEN, 1, 1, 1),
];
/// Numbers as 32-bit little-endian floats: of each layer the weights by sector, column, input and output (the output
/// fastest), then what is added to each output; last the weights of the answer.
static WEIGHTS: &[u8] = include_bytes!("weights.bin");

#[derive(Debug, Clone, Copy)]
struct Shape {
    inputs: usize,
    sectors: usize,
    columns: usize,
    apart: usize,
}

impl Shape {
    const fn new(inputs: usize, sectors: usize, columns: usize, apart: usize) -> Self {
        Self {
            inputs,
            sectors,
            columns,
            apart,
        }
    }

    /// Inputs about one position.
    const fn taps(self) -> usize {
        self.sectors * self.columns * self.inputs
    }
}

struct Layer {
    shape: Shape,
    /// Outputs x taps.
    weights: DMatrix<f32>,
    added: [f32; HIDDEN],
}

struct Network {
    layers: Vec<Layer>,
    answer: [f32; HIDDEN],
}

static NETWORK: LazyLock<Network> = LazyLock::new(|| {
    let mut numbers = WEIGHTS
        .as_chunks::<4>()
        .0
        .iter()
        .map(|bytes| f32::from_le_bytes(*bytes));
    let mut take = || numbers.next().unwrap_or(0.0);
    let layers = SHAPES
        .iter()
        .map(|shape| Layer {
            shape: *shape,
            weights: DMatrix::from_iterator(
                HIDDEN,
                shape.taps(),
                std::iter::repeat_with(&mut take).take(HIDDEN * shape.taps()),
            ),
            added: std::array::from_fn(|_| take()),
        })
        .collect();
    Network {
        layers,
        answer: std::array::from_fn(|_| take()),
    }
});

/// For each sector and column the logarithm of how likely the outline is there, up to a number of the sector's own.
pub(super) fn read(strip: &Strip) -> Vec<f32> {
    let network = &*NETWORK;
    let mut values = strip.values.clone();
    for layer in &network.layers {
        values = layer.applied(&values);
    }
    values
        .chunks_exact(HIDDEN)
        .map(|position| position.iter().zip(&network.answer).map(|(v, w)| v * w).sum())
        .collect()
}

impl Layer {
    /// Weighs the neighbourhood of each position; below zero becomes zero. Sectors go round, beyond the columns is
    /// zero.
    fn applied(&self, values: &[f32]) -> Vec<f32> {
        let Shape {
            inputs,
            sectors,
            columns,
            apart,
        } = self.shape;
        let row = COLUMNS * inputs;
        let mut out = vec![0.0; SECTORS * COLUMNS * HIDDEN];
        out.par_chunks_mut(COLUMNS * HIDDEN)
            .enumerate()
            .for_each(|(sector, out)| {
                // The neighbourhoods of a sector's positions, one after the other.
                let mut about = vec![0.0; COLUMNS * self.shape.taps()];
                for (column, about) in about.chunks_exact_mut(self.shape.taps()).enumerate() {
                    for (i, tap) in about.chunks_exact_mut(inputs).enumerate() {
                        let there = (sector + SECTORS + i / columns - sectors / 2) % SECTORS;
                        let at = (column + i % columns * apart).checked_sub(columns / 2 * apart);
                        if let Some(at) = at.filter(|at| *at < COLUMNS) {
                            tap.copy_from_slice(&values[there * row + at * inputs..][..inputs]);
                        }
                    }
                }
                let about = DMatrixView::from_slice(&about, self.shape.taps(), COLUMNS);
                let weighed = &self.weights * about;
                for (position, weighed) in out.chunks_exact_mut(HIDDEN).zip(weighed.column_iter()) {
                    for ((out, v), added) in position.iter_mut().zip(weighed.iter()).zip(self.added) {
                        *out = (v + added).max(0.0);
                    }
                }
            });
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What jax, a library for such networks, reads from a made-up ring with the same weights
    /// (`tests/scripts/learn_rim.py check`).
    #[test]
    fn a_ring_is_read_as_jax_reads_it() {
        let mut strip = Strip {
            values: Vec::new(),
            inside: vec![true; SECTORS * COLUMNS],
        };
        for sector in 0..SECTORS {
            for column in 0..COLUMNS {
                for channel in 0..CHANNELS {
                    let (s, k, c) = (sector as f64, column as f64, channel as f64);
                    let value = (0.37 * s + 0.11 * k * (c + 1.0)).sin() * (0.05 * k - c).cos();
                    strip.values.push(value as f32);
                }
            }
        }
        let read = read(&strip);
        let table = include_str!("../../../tests/data/rim_network.csv");
        let mut rows = 0;
        for row in table.lines().skip(1) {
            let cells: Vec<f64> = row.split(',').map(|cell| cell.parse().unwrap()).collect();
            let ours = f64::from(read[cells[0] as usize * COLUMNS + cells[1] as usize]);
            assert!(
                (ours - cells[2]).abs() < 1e-3 * cells[2].abs().max(1.0),
                "{row}: {ours}"
            );
            rows += 1;
        }
        assert_eq!(rows, 30);
    }

    #[test]
    fn the_weights_are_all_there_and_no_more() {
        let numbers: usize = SHAPES.iter().map(|s| (s.taps() + 1) * HIDDEN).sum::<usize>() + HIDDEN;
        assert_eq!(WEIGHTS.len(), 4 * numbers);
    }
}
