//! Where the cells stand: as many columns as make the crops largest, the coin where it touches every plate.

/// A size in points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Width.
    pub width: f32,
    /// Height.
    pub height: f32,
}

/// What a cell needs besides its crop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CellTrim {
    /// Height of the words above the crop and the controls below it, in points.
    pub height: f32,
    /// The least width of a cell, in points.
    pub least_width: f32,
    /// The gap between cells, in points.
    pub gap: f32,
}

/// A grid of equal cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Columns.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// The size of a cell with its trim, in points.
    pub cell: Size,
    /// The size of the crop in a cell, in points.
    pub crop: Size,
    /// The coin's place, counted in reading order; the states take the others in their order.
    pub coin: usize,
}

impl Grid {
    /// The row and column of a place.
    #[must_use]
    pub fn row_column(&self, place: usize) -> (usize, usize) {
        (place / self.columns, place % self.columns)
    }

    /// The place of a state, counted from 0.
    #[must_use]
    pub fn place_of_state(&self, state: usize) -> usize {
        if state < self.coin { state } else { state + 1 }
    }
}

/// The least height of a crop that is worth looking at, in points.
const LEAST_CROP: f32 = 48.0;

/// Lays out the coin and `states` plates in `area` so that a zone of `aspect` (width by height) is shown largest.
#[must_use]
pub fn arrange(states: usize, area: Size, trim: CellTrim, aspect: f32) -> Grid {
    let count = states + 1;
    let grid = |columns: usize| {
        let rows = count.div_ceil(columns);
        let share =
            |whole: f32, parts: usize| ((whole - trim.gap * (parts as f32 - 1.0)) / parts as f32).floor();
        let cell = Size {
            width: share(area.width, columns).max(1.0),
            height: share(area.height, rows).max(1.0),
        };
        let crop = Size {
            width: cell.width,
            height: (cell.height - trim.height).max(LEAST_CROP),
        };
        Grid {
            columns,
            rows,
            cell,
            crop,
            coin: coin_place(count, columns),
        }
    };
    // The zone's shown height; cells too narrow for their controls count for less, but one column always may.
    let worth = |g: &Grid| {
        let shown = g.crop.height.min(g.crop.width / aspect.max(0.05));
        if g.cell.width < trim.least_width && g.columns > 1 {
            shown * 0.5
        } else {
            shown
        }
    };
    // Of those nearly as good as the best the one whose coin is nearest to every plate, then the fullest, then the one
    // with fewest rows.
    let best = (1..=count).map(grid).map(|g| worth(&g)).fold(0.0, f32::max);
    (1..=count)
        .map(grid)
        .filter(|g| worth(g) >= best * NEARLY)
        .min_by_key(|g| {
            (
                reach(count, g.columns, g.coin),
                g.columns * g.rows - count,
                g.rows,
            )
        })
        .unwrap_or_else(|| grid(count))
}

/// A zone shown at this share of the largest possible counts as shown as large.
const NEARLY: f32 = 0.96;

/// How many cells away the farthest other cell is, corners counting as one.
fn reach(count: usize, columns: usize, place: usize) -> usize {
    (0..count)
        .map(|other| {
            let rows = (place / columns).abs_diff(other / columns);
            let cols = (place % columns).abs_diff(other % columns);
            rows.max(cols)
        })
        .max()
        .unwrap_or(0)
}

/// The place from which the farthest other cell is nearest; the first of equals.
fn coin_place(count: usize, columns: usize) -> usize {
    (0..count)
        .min_by_key(|place| reach(count, columns, *place))
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const TRIM: CellTrim = CellTrim {
        height: 100.0,
        least_width: 220.0,
        gap: 8.0,
    };

    fn at(states: usize, width: f32, height: f32) -> Grid {
        arrange(states, Size { width, height }, TRIM, 1.0)
    }

    #[test]
    fn two_states_flank_the_coin_in_a_wide_window() {
        let grid = at(2, 1080.0, 600.0);
        assert_eq!((grid.columns, grid.rows, grid.coin), (3, 1, 1));
        assert_eq!((grid.place_of_state(0), grid.place_of_state(1)), (0, 2));
    }

    #[test]
    fn the_coin_touches_every_plate_wherever_the_grid_allows_it() {
        for states in 1..=5 {
            for (width, height) in [(1080.0, 600.0), (830.0, 540.0), (1700.0, 900.0), (700.0, 1200.0)] {
                let grid = at(states, width, height);
                let (row, column) = grid.row_column(grid.coin);
                let reach = (0..states)
                    .map(|s| {
                        let (r, c) = grid.row_column(grid.place_of_state(s));
                        r.abs_diff(row).max(c.abs_diff(column))
                    })
                    .max()
                    .unwrap();
                let least = if grid.rows == 1 {
                    (grid.columns / 2).max(1)
                } else {
                    1
                };
                assert!(reach <= least, "{states} states at {width} x {height}: {grid:?}");
            }
        }
    }

    #[test]
    fn six_cells_stand_three_by_two_with_the_coin_amid() {
        let grid = arrange(
            5,
            Size {
                width: 1030.0,
                height: 640.0,
            },
            TRIM,
            1.0,
        );
        assert_eq!((grid.columns, grid.rows, grid.coin), (3, 2, 1));
    }

    #[test]
    fn cells_fit_the_area() {
        for states in 1..=8 {
            let grid = at(states, 900.0, 700.0);
            assert!(grid.columns as f32 * grid.cell.width + (grid.columns as f32 - 1.0) * 8.0 <= 900.0);
            assert!(grid.rows as f32 * grid.cell.height + (grid.rows as f32 - 1.0) * 8.0 <= 700.0);
            assert!(grid.columns * grid.rows > states);
        }
    }

    #[test]
    fn a_tall_window_stacks_the_cells() {
        assert_eq!(at(1, 400.0, 1200.0).columns, 1);
    }
}
