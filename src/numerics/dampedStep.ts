/**
 * The linear algebra of a damped least-squares step. Orthogonal factors throughout: the normal
 * matrix J^T J would square the condition and lose half the digits.
 */

const NOTHING: Float64Array = new Float64Array(0);

/** Upper triangle R (n x n, row after row) of J = Q R, and the first n entries of Q^T r. */
export interface Factors {
  readonly upper: Float64Array;
  readonly rotated: Float64Array;
}

/**
 * Householder factorisation of J with the residuals carried along.
 *
 * @param jacobian  m x n, row after row; with m < n it is filled up with rows of zeros
 * @param r         m residuals;  @param n  number of columns
 * Source           [golub-van-loan-2013, algorithm 5.2.1]
 */
export function householder(jacobian: ArrayLike<number>, r: ArrayLike<number>, n: number): Factors {
  const m = Math.max(r.length, n);
  // Column after column, the residuals as the last one: the inner loops run along memory.
  const work = new Float64Array(m * (n + 1));
  for (let i = 0; i < r.length; i++) {
    for (let j = 0; j < n; j++) work[j * m + i] = jacobian[i * n + j] ?? 0;
    work[n * m + i] = r[i] ?? 0;
  }
  for (let k = 0; k < n; k++) {
    let square = 0;
    for (let i = k; i < m; i++) square += (work[k * m + i] ?? 0) ** 2;
    if (square === 0) continue;
    const norm = Math.sqrt(square);
    const head = work[k * m + k] ?? 0;
    const alpha = head > 0 ? -norm : norm;
    const pivot = head - alpha;
    const scale = -alpha * pivot;
    work[k * m + k] = pivot;
    for (let j = k + 1; j <= n; j++) {
      let product = 0;
      for (let i = k; i < m; i++) product += (work[k * m + i] ?? 0) * (work[j * m + i] ?? 0);
      const share = product / scale;
      for (let i = k; i < m; i++) {
        work[j * m + i] = (work[j * m + i] ?? 0) - share * (work[k * m + i] ?? 0);
      }
    }
    work[k * m + k] = alpha;
  }
  const upper = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = i; j < n; j++) upper[i * n + j] = work[j * m + i] ?? 0;
  }
  return { upper, rotated: work.slice(n * m, n * m + n) };
}

/** A step, and the reduction of the sum of squares that the linear model promises for it. */
export interface DampedStep {
  readonly delta: Float64Array;
  readonly predicted: number;
}

/**
 * Step d that makes |J d + r|^2 + damping |D d|^2 least.
 *
 * @param factors  of J and r;  @param columns  diagonal of D, >= 0
 * @param damping  >= 0;  @param n  number of columns
 * @returns        with predicted = |J d|^2 + 2 damping |D d|^2
 * Source          [more-1978, section 3]
 */
export function solveDamped(factors: Factors, columns: Float64Array, damping: number, n: number): DampedStep {
  const stacked = new Float64Array(2 * n * n);
  stacked.set(factors.upper);
  const right = new Float64Array(2 * n);
  right.set(factors.rotated);
  for (let j = 0; j < n; j++) {
    // A column of zeros has no length of its own: damp it by one so that its step is zero.
    stacked[(n + j) * n + j] = Math.sqrt(damping) * (columns[j] || 1);
  }
  const { upper, rotated } = householder(stacked, right, n);
  const delta = new Float64Array(n);
  for (let i = n - 1; i >= 0; i--) {
    let sum = -(rotated[i] ?? 0);
    for (let j = i + 1; j < n; j++) sum -= (upper[i * n + j] ?? 0) * (delta[j] ?? 0);
    const pivot = upper[i * n + i] ?? 0;
    delta[i] = pivot === 0 ? 0 : sum / pivot;
  }
  let predicted = 0;
  for (let i = 0; i < n; i++) {
    let image = 0;
    for (let j = i; j < n; j++) image += (factors.upper[i * n + j] ?? 0) * (delta[j] ?? 0);
    predicted += image * image + 2 * damping * ((columns[i] ?? 0) * (delta[i] ?? 0)) ** 2;
  }
  return { delta, predicted };
}

/**
 * Length of that part of the residuals which some change of x can take off in the linear model.
 * Columns are taken largest first, so that one which depends on others does not hide a direction.
 *
 * @param factors    of J and r;  @param n  number of columns
 * @param tolerance  share of a column's length below which the rest of it counts as nothing [-]
 * @returns          length of the projection of r on the range of J
 * Source            pivoting [golub-van-loan-2013, 5.4.2]
 */
export function reachableLength(factors: Factors, n: number, tolerance: number): number {
  const columns = Array.from({ length: n }, (_, j) => {
    const column = Float64Array.from({ length: n }, (_, i) => factors.upper[i * n + j] ?? 0);
    const norm = length(column);
    return norm === 0 ? column : column.map((entry) => entry / norm);
  });
  const rest = Float64Array.from(factors.rotated);
  let sum = 0;
  while (true) {
    const largest = columns.reduce<Float64Array>((most, c) => (length(c) > length(most) ? c : most), NOTHING);
    const norm = length(largest);
    if (!(norm > tolerance)) return Math.sqrt(sum);
    const direction = largest.map((entry) => entry / norm);
    sum += takeOff(rest, direction) ** 2;
    for (const column of columns) takeOff(column, direction);
    // What rounding leaves of the column just used would come back as a direction of its own.
    largest.fill(0);
  }
}

/** Takes the part along a unit direction off a vector; returns its length. */
function takeOff(vector: Float64Array, direction: Float64Array): number {
  let part = 0;
  for (let i = 0; i < vector.length; i++) part += (vector[i] ?? 0) * (direction[i] ?? 0);
  for (let i = 0; i < vector.length; i++) vector[i] = (vector[i] ?? 0) - part * (direction[i] ?? 0);
  return part;
}

function length(vector: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < vector.length; i++) sum += (vector[i] ?? 0) ** 2;
  return Math.sqrt(sum);
}

/**
 * (R^T R)^-1 from an upper triangle.
 *
 * @param upper      R, n x n, row after row;  @param n  its size
 * @param tolerance  share of a column that must be left on the diagonal [-]
 * @returns          n x n, row after row; undefined where a column depends on those before it
 */
export function choleskyInverse(upper: Float64Array, n: number, tolerance: number): Float64Array | undefined {
  for (let j = 0; j < n; j++) {
    let sum = 0;
    for (let i = 0; i <= j; i++) sum += (upper[i * n + j] ?? 0) ** 2;
    if (!(Math.abs(upper[j * n + j] ?? 0) > tolerance * Math.sqrt(sum))) return undefined;
  }
  const inverse = new Float64Array(n * n);
  for (let j = 0; j < n; j++) {
    for (let i = j; i >= 0; i--) {
      let sum = i === j ? 1 : 0;
      for (let k = i + 1; k <= j; k++) sum -= (upper[i * n + k] ?? 0) * (inverse[k * n + j] ?? 0);
      inverse[i * n + j] = sum / (upper[i * n + i] ?? 1);
    }
  }
  const out = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = i; j < n; j++) {
      let sum = 0;
      for (let k = j; k < n; k++) sum += (inverse[i * n + k] ?? 0) * (inverse[j * n + k] ?? 0);
      out[i * n + j] = sum;
      out[j * n + i] = sum;
    }
  }
  return out;
}
