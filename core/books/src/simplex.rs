//! The best of a linear programme with several aims in order: a later aim never costs an earlier one anything.
//!
//! Model     dense simplex from the slack basis; a column enters when its reduced gains are positive in the first aim in which they are not
//!           nothing; the least index among those that may enter and leave (Bland), so that it always ends
//! Units     those of the caller
//! Range     a few hundred columns and rows, right sides not below nothing
//! Source    Bland (1977), Math. Oper. Res. 2, 103-107 (memory); checked against exhaustive search and against scipy in checks/peers/allocation
//! Left out  sparse tables, bounds other than nothing from below

/// Smaller than this is nothing, relative to the aim's largest gain.
const NOTHING: f64 = 1e-9;

/// `maximise aims[0]·x, then aims[1]·x ...` under `rows·x <= right`, `x >= 0`.
pub struct Programme {
    /// Gains of each column, one list for each aim, the first aim first.
    pub aims: Vec<Vec<f64>>,
    /// Coefficients, row by row.
    pub rows: Vec<Vec<f64>>,
    /// Right sides, none below nothing.
    pub right: Vec<f64>,
}

/// The best columns; `None` where the first aim that is not bounded could grow for ever.
///
/// # Panics
/// When a right side is below nothing: the caller's amounts never are.
pub fn best(programme: &Programme) -> Option<Vec<f64>> {
    let (rows, columns) = (programme.rows.len(), programme.aims.first().map_or(0, Vec::len));
    assert!(programme.right.iter().all(|right| *right >= 0.0), "right sides are amounts");
    // Each row: columns, slacks, right side.
    let mut table: Vec<Vec<f64>> = (0..rows)
        .map(|row| {
            let mut line = programme.rows[row].clone();
            line.extend((0..rows).map(|slack| if slack == row { 1.0 } else { 0.0 }));
            line.push(programme.right[row]);
            line
        })
        .collect();
    let mut gains: Vec<Vec<f64>> = programme
        .aims
        .iter()
        .map(|aim| aim.iter().copied().chain(std::iter::repeat_n(0.0, rows + 1)).collect())
        .collect();
    let scale: Vec<f64> =
        programme.aims.iter().map(|aim| aim.iter().fold(1e-300, |most: f64, gain| most.max(gain.abs()))).collect();
    let mut basis: Vec<usize> = (columns..columns + rows).collect();
    while let Some(column) = (0..columns + rows).find(|&column| enters(&gains, &scale, column)) {
        let row = leaves(&table, &basis, column)?;
        pivot(&mut table, &mut gains, row, column);
        basis[row] = column;
    }
    let mut found = vec![0.0; columns];
    for (row, &column) in basis.iter().enumerate().filter(|(_, column)| **column < columns) {
        found[column] = table[row][columns + rows].max(0.0);
    }
    Some(found)
}

/// Whether a column makes the first aim better that it touches at all.
fn enters(gains: &[Vec<f64>], scale: &[f64], column: usize) -> bool {
    for (aim, scale) in gains.iter().zip(scale) {
        let gain = aim[column] / scale;
        if gain > NOTHING {
            return true;
        }
        if gain < -NOTHING {
            return false;
        }
    }
    false
}

fn leaves(table: &[Vec<f64>], basis: &[usize], column: usize) -> Option<usize> {
    let mut found: Option<(f64, usize)> = None;
    for (row, line) in table.iter().enumerate().filter(|(_, line)| line[column] > NOTHING) {
        let ratio = line[line.len() - 1] / line[column];
        let is_less = found.is_none_or(|(least, at)| {
            ratio < least - NOTHING * (1.0 + least.abs())
                || (ratio < least + NOTHING * (1.0 + least.abs()) && basis[row] < basis[at])
        });
        if is_less {
            found = Some((ratio, row));
        }
    }
    found.map(|(_, row)| row)
}

fn pivot(table: &mut [Vec<f64>], gains: &mut [Vec<f64>], row: usize, column: usize) {
    let by = table[row][column];
    table[row].iter_mut().for_each(|cell| *cell /= by);
    let line = table[row].clone();
    let others = table.iter_mut().enumerate().filter(|(at, _)| *at != row).map(|(_, other)| other);
    for other in others.chain(gains.iter_mut()) {
        let times = other[column];
        if times != 0.0 {
            other.iter_mut().zip(&line).for_each(|(cell, own)| *cell -= times * own);
            other[column] = 0.0;
        }
    }
}
