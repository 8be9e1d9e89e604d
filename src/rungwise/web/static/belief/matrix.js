// Small symmetric positive matrices, d by d in one row of numbers.

/** Lower Cholesky factor. */
export const cholesky = (a, d) => {
  const root = new Float64Array(d * d);
  for (let i = 0; i < d; i += 1) {
    for (let j = 0; j <= i; j += 1) {
      let rest = a[i * d + j];
      for (let k = 0; k < j; k += 1) rest -= root[i * d + k] * root[j * d + k];
      root[i * d + j] = i === j ? Math.sqrt(rest) : rest / root[j * d + j];
    }
  }
  return root;
};

/** Solution of root · x = b, root lower triangular. */
export const forward = (root, b, d) => {
  const x = new Float64Array(d);
  for (let i = 0; i < d; i += 1) {
    let rest = b[i];
    for (let k = 0; k < i; k += 1) rest -= root[i * d + k] * x[k];
    x[i] = rest / root[i * d + i];
  }
  return x;
};

/** Inverse by the factor: the inverse of root, times itself. */
export const inverse = (root, d) => {
  const low = new Float64Array(d * d); // inverse of root, lower triangular
  for (let j = 0; j < d; j += 1) {
    low[j * d + j] = 1 / root[j * d + j];
    for (let i = j + 1; i < d; i += 1) {
      let rest = 0;
      for (let k = j; k < i; k += 1) rest -= root[i * d + k] * low[k * d + j];
      low[i * d + j] = rest / root[i * d + i];
    }
  }
  const found = new Float64Array(d * d);
  for (let i = 0; i < d; i += 1) {
    for (let j = 0; j <= i; j += 1) {
      let total = 0;
      for (let k = i; k < d; k += 1) total += low[k * d + i] * low[k * d + j];
      found[i * d + j] = found[j * d + i] = total;
    }
  }
  return found;
};

export const logDet = (root, d) => {
  let total = 0;
  for (let i = 0; i < d; i += 1) total += Math.log(root[i * d + i]);
  return 2 * total;
};
