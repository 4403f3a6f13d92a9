/**
 * QR factorisation by Householder reflections, in place, for a tall matrix with few columns.
 * G. H. Golub, C. F. Van Loan, Matrix Computations, 4th ed. 2013, section 5.2.2 (algorithm 5.2.1).
 * Dropped: column pivoting. The columns arrive scaled to at most unit length and number at most a dozen,
 * so a dependent column shows as a small last diagonal entry, which `smallestDiagonal` reports.
 * Pure: no I/O, no clock, no randomness; writes only into the arrays it is given.
 */

/**
 * Overwrites `matrix` (column-major, `rows` by `columns`) and `right` (length `rows`).
 * On return the upper triangle of `matrix` holds R and `right` begins with the first entries of Qᵀ·right.
 */
export const factorise = (
  matrix: Float64Array,
  right: Float64Array,
  rows: number,
  columns: number,
): void => {
  const last = Math.min(rows, columns);
  for (let k = 0; k < last; k += 1) {
    const head = k * rows + k;
    const end = k * rows + rows;
    let squares = 0;
    for (let at = head; at < end; at += 1) {
      const entry = matrix[at] as number;
      squares += entry * entry;
    }
    if (squares === 0) continue;
    const pivot = matrix[head] as number;
    const diagonal = pivot > 0 ? -Math.sqrt(squares) : Math.sqrt(squares);
    const lead = pivot - diagonal;
    matrix[head] = lead;
    // vᵀv / 2 = diagonal² − pivot·diagonal, free of cancellation by the choice of sign.
    const half = squares - pivot * diagonal;
    for (let j = k + 1; j < columns; j += 1) {
      const shift = (j - k) * rows;
      let dot = 0;
      for (let at = head; at < end; at += 1) {
        dot += (matrix[at] as number) * (matrix[at + shift] as number);
      }
      const factor = dot / half;
      for (let at = head; at < end; at += 1) {
        matrix[at + shift] = (matrix[at + shift] as number) - factor * (matrix[at] as number);
      }
    }
    let dot = 0;
    for (let at = head, i = k; at < end; at += 1, i += 1) {
      dot += (matrix[at] as number) * (right[i] as number);
    }
    const factor = dot / half;
    for (let at = head, i = k; at < end; at += 1, i += 1) {
      right[i] = (right[i] as number) - factor * (matrix[at] as number);
    }
    matrix[head] = diagonal;
  }
};

/** Smallest absolute diagonal entry of R: near zero where the columns are dependent. */
export const smallestDiagonal = (matrix: Float64Array, rows: number, columns: number): number => {
  let smallest = Number.POSITIVE_INFINITY;
  for (let k = 0; k < columns; k += 1) {
    smallest = Math.min(smallest, Math.abs(matrix[k * rows + k] as number));
  }
  return smallest;
};

/** Solves R·x = right for x, R being the upper triangle of `matrix`. */
export const backSubstitute = (
  matrix: Float64Array,
  right: Float64Array,
  rows: number,
  columns: number,
  solution: Float64Array,
): void => {
  for (let k = columns - 1; k >= 0; k -= 1) {
    let sum = right[k] as number;
    for (let j = k + 1; j < columns; j += 1) {
      sum -= (matrix[j * rows + k] as number) * (solution[j] as number);
    }
    solution[k] = sum / (matrix[k * rows + k] as number);
  }
};

/** Solves Rᵀ·x = right for x, R being the upper triangle of `matrix`. */
export const forwardSubstitute = (
  matrix: Float64Array,
  right: Float64Array,
  rows: number,
  columns: number,
  solution: Float64Array,
): void => {
  for (let k = 0; k < columns; k += 1) {
    let sum = right[k] as number;
    for (let j = 0; j < k; j += 1) {
      sum -= (matrix[k * rows + j] as number) * (solution[j] as number);
    }
    solution[k] = sum / (matrix[k * rows + k] as number);
  }
};
