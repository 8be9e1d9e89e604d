// Sums and special functions of the belief, as its Python uses those of numpy and scipy.

export const LOG_2PI = Math.log(2 * Math.PI);
const SQRT_PI = Math.sqrt(Math.PI);

/** Logarithm of the sum of exponentials; minus infinity when every term is. */
export const logSum = (logs) => {
  let top = -Infinity;
  for (const each of logs) if (each > top) top = each;
  if (top === -Infinity) return top;
  let sum = 0;
  for (const each of logs) sum += Math.exp(each - top);
  return top + Math.log(sum);
};

export const logAddExp = (one, other) => {
  const top = Math.max(one, other);
  if (top === -Infinity) return top;
  return top + Math.log1p(Math.exp(-Math.abs(one - other)));
};

/** erfc of x >= 0: the series of erf near 0, further out the continued fraction (Lentz). */
const erfcUp = (x) => {
  if (x > 27) return 0;
  if (x < 2) {
    let term = x; // erf x = 2/√π e^(-x²) Σ 2^n x^(2n+1) / (1·3···(2n+1)), all terms positive
    let sum = x;
    for (let n = 1; term > sum * 1e-17; n += 1) { term *= (2 * x * x) / (2 * n + 1); sum += term; }
    return 1 - ((2 * Math.exp(-x * x)) / SQRT_PI) * sum;
  }
  let f = x; // √π e^(x²) erfc x = 1/(x + ½/(x + 1/(x + 3/2/(x + ...))))
  let c = x;
  let d = 0;
  for (let n = 1; n < 500; n += 1) {
    const a = n / 2;
    d = 1 / (x + a * d);
    c = x + a / c;
    const step = c * d;
    f *= step;
    if (Math.abs(step - 1) < 1e-16) break;
  }
  return Math.exp(-x * x) / (SQRT_PI * f);
};
export const erfc = (x) => (Number.isNaN(x) ? NaN : x >= 0 ? erfcUp(x) : 2 - erfcUp(-x));

/** Chance of a standard normal below x. */
export const ndtr = (x) => 0.5 * erfc(-x / Math.SQRT2);

/** Chance of a chi-square of so many whole degrees of freedom above x. */
export const chdtrc = (degrees, x) => {
  if (x <= 0) return 1;
  const h = x / 2;
  if (degrees % 2 === 0) {
    let term = Math.exp(-h);
    let sum = term;
    for (let k = 1; k < degrees / 2; k += 1) { term *= h / k; sum += term; }
    return sum;
  }
  let sum = erfc(Math.sqrt(h));
  let term = (Math.exp(-h) * Math.sqrt(h)) / (SQRT_PI / 2); // h^½ / Γ(3/2)
  for (let k = 0; k < (degrees - 1) / 2; k += 1) { sum += term; term *= h / (k + 1.5); }
  return sum;
};

/** Order of the values, smallest first; of equals the first in their order. */
export const argsort = (values) => Array.from(values, (_, at) => at).sort((a, b) => {
  const [x, y] = [values[a], values[b]];
  if (Number.isNaN(x) || Number.isNaN(y)) return (Number.isNaN(x) ? 1 : 0) - (Number.isNaN(y) ? 1 : 0) || a - b;
  return x < y ? -1 : x > y ? 1 : a - b;
});

/** Order of the values, largest first; what differs by rounding alone is equal. */
export const ranked = (values) => argsort(Array.from(values, (each) => -Math.round(each * 1e10)));

/** First place at which a value could be put into rising ones. */
export const searchSorted = (rising, value) => {
  let low = 0;
  let high = rising.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (rising[middle] < value) low = middle + 1; else high = middle;
  }
  return low;
};

export const argmax = (values) => {
  let best = 0;
  for (let at = 1; at < values.length; at += 1) if (values[at] > values[best]) best = at;
  return best;
};

export const sum = (values) => { let total = 0; for (const each of values) total += each; return total; };
export const range = (count) => Array.from({ length: count }, (_, at) => at);

/** As Python rounds: halves to the even neighbor, by the decimal digits that the number has. */
export const round = (value, digits = 0) => {
  if (!Number.isFinite(value)) return value;
  if (digits < 0) { const unit = 10 ** -digits; return halfEven(value / unit) * unit; }
  // toFixed rounds by the exact value of the number, as Python does; only exact halves differ.
  return digits === 0 ? halfEven(value) : Number(fixed(value, digits));
};
const halfEven = (value) => {
  const low = Math.floor(value);
  const left = value - low;
  if (left !== 0.5) return Math.round(value);
  return low % 2 === 0 ? low : low + 1;
};
const fixed = (value, digits) => {
  const scaled = value * 10 ** digits;
  if (Math.abs(scaled) < 2 ** 52 && scaled / 10 ** digits === value && Math.abs(scaled % 1) === 0.5) return String(halfEven(scaled) / 10 ** digits);
  return value.toFixed(Math.min(digits, 100));
};
