//! Each row to a column of its own, so that the sum of what they cost is least: the linear assignment problem.

use super::exact::Exact;

/// The least sum, and potentials by which no cell costs less than those of its row and column together.
#[derive(Debug)]
pub(super) struct LeastMatching<T> {
    pub cost: T,
    pub of_rows: Vec<T>,
    pub of_columns: Vec<T>,
}

/// Shortest augmenting paths (Kuhn 1955; in this form Jonker and Volgenant 1987, without their first steps), for no more
/// rows than columns. `costs` has the rows one behind the other.
pub(super) fn least_matching<T: Exact>(
    costs: &[T],
    rows: usize,
    columns: usize,
) -> LeastMatching<T> {
    let mut of_rows = vec![T::default(); rows];
    let mut of_columns = vec![T::default(); columns];
    let mut row_of: Vec<Option<usize>> = vec![None; columns];
    let mut shortest = vec![T::MOST; columns];
    let mut came_from: Vec<Option<usize>> = vec![None; columns];
    let mut is_done = vec![false; columns];
    for begun in 0..rows {
        shortest.fill(T::MOST);
        is_done.fill(false);
        let mut row = begun;
        // The column by which the path came to the row, and how long it is up to there.
        let mut last: Option<usize> = None;
        let mut length = T::default();
        let end = loop {
            let mut next: Option<usize> = None;
            for column in (0..columns).filter(|&column| !is_done[column]) {
                let cell = costs[row * columns + column] - of_rows[row] - of_columns[column];
                let along = length + cell;
                if along < shortest[column] {
                    shortest[column] = along;
                    came_from[column] = last;
                }
                if next.is_none_or(|next| shortest[column] < shortest[next]) {
                    next = Some(column);
                }
            }
            // There are columns left, since there are at least as many as rows.
            let Some(next) = next else { break None };
            length = shortest[next];
            is_done[next] = true;
            last = Some(next);
            match row_of[next] {
                Some(taken_by) => row = taken_by,
                None => break Some(next),
            }
        };
        of_rows[begun] += length;
        for column in (0..columns).filter(|&column| is_done[column]) {
            let less = length - shortest[column];
            of_columns[column] = of_columns[column] - less;
            if let Some(row) = row_of[column] {
                of_rows[row] += less;
            }
        }
        let mut column = end;
        while let Some(at) = column {
            let before = came_from[at];
            row_of[at] = match before {
                Some(before) => row_of[before],
                None => Some(begun),
            };
            column = before;
        }
    }
    let taken = row_of.iter().enumerate();
    let cells = taken.filter_map(|(column, row)| Some(costs[(*row)? * columns + column]));
    LeastMatching {
        cost: cells.sum(),
        of_rows,
        of_columns,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::{Key, Stream};
    use rand::RngExt;

    fn least_of_all(costs: &[i64], rows: usize, columns: usize, taken: &mut Vec<usize>) -> i64 {
        let row = taken.len();
        if row == rows {
            return 0;
        }
        let mut least = i64::MAX;
        for column in 0..columns {
            if !taken.contains(&column) {
                taken.push(column);
                let rest = least_of_all(costs, rows, columns, taken);
                least = least.min(costs[row * columns + column] + rest);
                taken.pop();
            }
        }
        least
    }

    /// Against all matchings, and by duality: potentials whose sum is the cost prove that it is least.
    #[test]
    fn no_matching_costs_less() {
        let mut stream = Stream::new(Key::from_seed(1));
        for _ in 0..300 {
            let columns = stream.random_range(1..6usize);
            let rows = stream.random_range(1..=columns);
            let costs: Vec<i64> = (0..rows * columns)
                .map(|_| stream.random_range(-3..9))
                .collect();
            let found = least_matching(&costs, rows, columns);
            assert_eq!(
                found.cost,
                least_of_all(&costs, rows, columns, &mut Vec::new())
            );
            for row in 0..rows {
                for column in 0..columns {
                    let together = found.of_rows[row] + found.of_columns[column];
                    assert!(together <= costs[row * columns + column]);
                }
            }
            let dual: i64 = found.of_rows.iter().chain(&found.of_columns).sum();
            assert_eq!(dual, found.cost);
        }
    }
}
