use super::QualityError;

/// Counts per position of a sheet, row by row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Grid {
    columns: usize,
    counts: Vec<u64>,
}

impl Grid {
    /// A grid with nothing counted yet.
    ///
    /// # Errors
    /// `Zero` when there are no rows or no columns.
    pub fn new(rows: usize, columns: usize) -> Result<Self, QualityError> {
        Self::from_counts(rows, columns, vec![0; rows * columns])
    }

    /// A grid of `rows × columns` counts, row after row.
    ///
    /// # Errors
    /// `Zero` when there are no rows or no columns, `GridSize` when the number of counts is
    /// not rows × columns.
    pub fn from_counts(
        rows: usize,
        columns: usize,
        counts: Vec<u64>,
    ) -> Result<Self, QualityError> {
        if rows == 0 {
            return Err(QualityError::Zero { field: "rows" });
        }
        if columns == 0 {
            return Err(QualityError::Zero { field: "columns" });
        }
        let given = counts.len();
        if given != rows * columns {
            return Err(QualityError::GridSize {
                rows,
                columns,
                given,
            });
        }
        Ok(Self { columns, counts })
    }

    /// Counts one more at a position; row and column from 0.
    ///
    /// # Errors
    /// `OutsideGrid` when the sheet has no such position.
    pub fn count(&mut self, row: usize, column: usize) -> Result<(), QualityError> {
        let (rows, columns) = (self.rows(), self.columns);
        if row >= rows || column >= columns {
            return Err(QualityError::OutsideGrid {
                row,
                column,
                rows,
                columns,
            });
        }
        self.counts[row * columns + column] += 1;
        Ok(())
    }

    pub fn rows(&self) -> usize {
        self.counts.len() / self.columns
    }

    pub fn columns(&self) -> usize {
        self.columns
    }

    /// The counts, row after row.
    pub fn counts(&self) -> &[u64] {
        &self.counts
    }

    pub fn total(&self) -> u64 {
        self.counts.iter().sum()
    }

    /// The counts of one row, left to right. Panics when there is no such row.
    pub fn row(&self, row: usize) -> Vec<u64> {
        self.counts[row * self.columns..][..self.columns].to_vec()
    }

    /// The counts of one column, top to bottom. Panics when there is no such column.
    pub fn column(&self, column: usize) -> Vec<u64> {
        assert!(column < self.columns, "no column {column}");
        self.counts
            .iter()
            .skip(column)
            .step_by(self.columns)
            .copied()
            .collect()
    }
}
