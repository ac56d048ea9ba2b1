//! Figures of a table rounded so that what is shown adds up: controlled rounding (Cox and Ernst 1982).
//!
//! Each cell, each sum of a row or column and the sum of all go to the whole number below or above, never further, and
//! every shown sum is that of what is shown. For tables of two ways there always is such a rounding: what is left of
//! the figures beyond whole numbers is a flow without sources, and along a cycle of it as much can be added at one cell
//! as is taken from the next.

use std::collections::VecDeque;

/// How finely figures are told apart: one in so many parts, so that sums are exact.
const PARTS: i64 = 1 << 20;

/// Larger figures are not rounded to whole numbers by anybody who reads them.
const MOST: f64 = 1e9;

/// Each cell as a whole number, with the sums of rows in one more column and those of columns in one more row; the sum of
/// all is the nearest one. `None` where the table is empty or a figure is negative or too large.
pub fn rounded(values: &[Vec<f64>]) -> Option<Vec<Vec<i64>>> {
    let (rows, columns) = (values.len(), values.first()?.len());
    let mut table = vec![vec![0_i64; columns + 1]; rows + 1];
    for (row, line) in values.iter().enumerate() {
        for (column, &value) in line.iter().enumerate() {
            if !(0.0..MOST).contains(&value) {
                return None;
            }
            // A whole number stays one, whatever the digits behind it.
            let parts = (value * PARTS as f64).round() as i64;
            let near = nearest(parts);
            table[row][column] = match (parts - near).abs() <= 2 {
                true => near,
                false => parts,
            };
        }
    }
    // With sums of the other sign every row and every column comes to nothing, and stays so along a cycle.
    for row in table.iter_mut().take(rows) {
        let sum: i64 = row.iter().sum();
        row[columns] = -sum;
    }
    for column in 0..=columns {
        let sum: i64 = table.iter().take(rows).map(|row| row[column]).sum();
        table[rows][column] = -sum;
    }
    // The sum of all first: it is brought to the nearest whole number, and what is told elsewhere is that as well.
    while !is_whole(table[rows][columns]) {
        shift(&mut table, (rows, columns));
    }
    for row in 0..=rows {
        for column in 0..=columns {
            while !is_whole(table[row][column]) {
                shift(&mut table, (row, column));
            }
        }
    }
    let whole = table
        .iter()
        .map(|row| row.iter().map(|parts| (parts / PARTS).abs()).collect());
    Some(whole.collect())
}

fn is_whole(parts: i64) -> bool {
    parts.rem_euclid(PARTS) == 0
}

fn nearest(parts: i64) -> i64 {
    (parts + PARTS / 2).div_euclid(PARTS) * PARTS
}

/// Brings a cell nearer to the whole number next to it, and one cell at least of its cycle to a whole number.
fn shift(table: &mut [Vec<i64>], start: (usize, usize)) {
    let cycle = cycle(table, start);
    let up = nearest(table[start.0][start.1]) > table[start.0][start.1];
    let rises = |step: usize| step.is_multiple_of(2) == up;
    let room = cycle.iter().enumerate().map(|(step, &(row, column))| {
        let beyond = table[row][column].rem_euclid(PARTS);
        match rises(step) {
            true => PARTS - beyond,
            false => beyond,
        }
    });
    let by = room.min().expect("a cycle has cells");
    for (step, &(row, column)) in cycle.iter().enumerate() {
        table[row][column] += match rises(step) {
            true => by,
            false => -by,
        };
    }
}

/// A shortest way from a cell through cells that are no whole numbers back to it, along a row, then along a column, and
/// so on. There is one: a row in which one cell is no whole number has another such cell, and so has a column.
fn cycle(table: &[Vec<i64>], start: (usize, usize)) -> Vec<(usize, usize)> {
    let (rows, columns) = (table.len(), table[0].len());
    // Rows come first, then columns; each is reached by a cell.
    let mut reached_by: Vec<Option<(usize, usize)>> = vec![None; rows + columns];
    let mut next = VecDeque::from([start.0]);
    let goal = rows + start.1;
    while let Some(line) = next.pop_front() {
        if line == goal {
            break;
        }
        let cells: Vec<(usize, usize)> = match line < rows {
            true => (0..columns).map(|column| (line, column)).collect(),
            false => (0..rows).map(|row| (row, line - rows)).collect(),
        };
        for cell in cells {
            let other = match line < rows {
                true => rows + cell.1,
                false => cell.0,
            };
            let is_new = other != start.0 && reached_by[other].is_none();
            if cell != start && is_new && !is_whole(table[cell.0][cell.1]) {
                reached_by[other] = Some(cell);
                next.push_back(other);
            }
        }
    }
    let mut cycle = vec![start];
    let mut line = goal;
    while line != start.0 {
        let cell = reached_by[line].expect("what flows on comes back");
        cycle.push(cell);
        line = match line < rows {
            true => rows + cell.1,
            false => cell.0,
        };
    }
    cycle
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Key;

    fn adds_up(values: &[Vec<f64>], whole: &[Vec<i64>]) {
        let (rows, columns) = (values.len(), values[0].len());
        for row in whole {
            assert_eq!(row[..columns].iter().sum::<i64>(), row[columns]);
        }
        for column in 0..=columns {
            let cells = whole.iter().take(rows).map(|row| row[column]);
            assert_eq!(cells.sum::<i64>(), whole[rows][column]);
        }
        let next_to = |whole: i64, exact: f64| {
            assert!((whole as f64 - exact).abs() < 1.0 - 1e-9, "{whole} {exact}")
        };
        for row in 0..rows {
            next_to(whole[row][columns], values[row].iter().sum());
            for column in 0..columns {
                next_to(whole[row][column], values[row][column]);
            }
        }
        for column in 0..columns {
            next_to(
                whole[rows][column],
                values.iter().map(|row| row[column]).sum(),
            );
        }
        let all: f64 = values.iter().flatten().sum();
        assert!(
            (whole[rows][columns] as f64 - all).abs() <= 0.5 + 1e-5,
            "{all}"
        );
    }

    /// By hand: three thirds are one, in the row and in each column.
    #[test]
    fn thirds_come_to_one() {
        let third = 1.0 / 3.0;
        let values = vec![vec![third; 3]; 3];
        let whole = rounded(&values).expect("it is small");
        adds_up(&values, &whole);
        assert_eq!(whole[3], [1, 1, 1, 3]);
        assert!(whole[..3].iter().all(|row| row[3] == 1));
    }

    #[test]
    fn whole_numbers_stay() {
        let values = vec![vec![59.0, 102.0], vec![0.0, 7.0]];
        let whole = rounded(&values).expect("it is small");
        assert_eq!(whole, [[59, 102, 161], [0, 7, 7], [59, 109, 168]]);
    }

    #[test]
    fn drawn_tables_add_up_and_nothing_goes_further_than_to_the_next_whole_number() {
        for seed in 0..400_u64 {
            let key = Key::from_seed(seed);
            let (rows, columns) = (1 + seed as usize % 7, 1 + seed as usize / 7 % 6);
            let mut drawn = 0;
            let mut uniform = || {
                drawn += 1;
                key.with(drawn).uniform()
            };
            let values: Vec<Vec<f64>> = (0..rows)
                .map(|_| {
                    let line = (0..columns).map(|_| match uniform() {
                        empty if empty < 0.4 => 0.0,
                        _ => uniform() * 30.0,
                    });
                    line.collect()
                })
                .collect();
            adds_up(&values, &rounded(&values).expect("it is small"));
        }
    }

    #[test]
    fn what_nobody_rounds_is_refused() {
        assert_eq!(rounded(&[]), None);
        assert_eq!(rounded(&[vec![-1.0]]), None);
        assert_eq!(rounded(&[vec![f64::NAN]]), None);
        assert_eq!(rounded(&[vec![1e12]]), None);
    }
}
