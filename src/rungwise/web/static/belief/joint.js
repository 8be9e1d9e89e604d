// Likelihood of several meter readings together, on every particle.

import { cholesky, forward, inverse, logDet } from "./matrix.js";
import { LOG_2PI, logAddExp, ndtr } from "./numbers.js";

const UNRELATED = 0.01;

/**
 * value, slip: [d]. middle, variance, tangent, wild: for each reading its numbers on all particles.
 * unknown: for each slopes the d by d covariance by what nobody told. follows: [n].
 */
export class Joint {
  constructor({ value, middle, variance, tangent, unknown, follows, slip, wild }) {
    Object.assign(this, { value, middle, variance, tangent, unknown, follows, slip, wild });
    this.d = value.length;
    this.n = follows.length;
    const { d, n } = this;
    this.made = new Uint8Array(n * d);
    this.off = new Float64Array(n * d);
    this.width = new Float64Array(n * d); // diagonal of the covariance
    this.precision = new Float64Array(n * d * d);
    this.root = new Float64Array(n * d * d);
    this.pull = new Float64Array(n * d);
    this.logAll = new Float64Array(n);
    for (let row = 0; row < n; row += 1) this.#solve(row);
    this.own = (row, i) => this.precision[row * d * d + i * d + i];
  }

  #solve(row) {
    const { d } = this;
    const unknown = this.unknown[this.follows[row]];
    const a = new Float64Array(d * d);
    const made = this.made.subarray(row * d, row * d + d);
    const off = this.off.subarray(row * d, row * d + d);
    let size = 0;
    for (let i = 0; i < d; i += 1) {
      made[i] = Number.isFinite(this.middle[i][row]) ? 1 : 0;
      off[i] = made[i] ? this.value[i] - this.middle[i][row] : 0;
      size += made[i];
    }
    for (let i = 0; i < d; i += 1) {
      for (let j = 0; j < d; j += 1) if (made[i] && made[j]) a[i * d + j] = unknown[i * d + j] + this.tangent[i][row] * this.tangent[j][row];
      a[i * d + i] += made[i] ? this.variance[i][row] : 1;
      this.width[row * d + i] = a[i * d + i];
    }
    const root = cholesky(a, d);
    const precision = inverse(root, d);
    this.root.set(root, row * d * d);
    this.precision.set(precision, row * d * d);
    let quadratic = 0;
    for (let i = 0; i < d; i += 1) {
      let pull = 0;
      for (let j = 0; j < d; j += 1) pull += precision[i * d + j] * off[j];
      this.pull[row * d + i] = pull;
      quadratic += pull * off[i];
    }
    this.logAll[row] = -0.5 * (quadratic + logDet(root, d) + size * LOG_2PI);
  }

  /** Log density of a reading given the others. */
  logGiven(row, i) {
    if (!this.made[row * this.d + i]) return 0;
    const own = this.own(row, i);
    return -0.5 * (this.pull[row * this.d + i] ** 2 / own + LOG_2PI - Math.log(own));
  }

  logSlipOdds(row, i) {
    if (!this.made[row * this.d + i]) return -Infinity;
    return Math.log((this.slip[i] * this.wild[i][row]) / (1 - this.slip[i])) - this.logGiven(row, i);
  }

  #together(row) {
    let odds = -Infinity;
    let right = 0;
    let unmade = 0;
    for (let i = 0; i < this.d; i += 1) {
      odds = logAddExp(odds, this.logSlipOdds(row, i));
      if (this.made[row * this.d + i]) right += Math.log1p(-this.slip[i]);
      else unmade += Math.log(this.middle[i][row] === Infinity ? this.slip[i] * this.wild[i][row] : this.wild[i][row]);
    }
    return right + this.logAll[row] + logAddExp(0, odds) + unmade;
  }

  #slipped(row, i, core) { return Math.log((1 - this.slip[i]) * core + this.slip[i] * this.wild[i][row]); }

  #unmade(row, i) { return Number.isNaN(this.middle[i][row]) ? this.wild[i][row] : 0; }

  #apart(row, i) {
    const at = row * this.d + i;
    const width = this.width[at];
    const core = this.made[at] ? Math.exp(-0.5 * (this.off[at] ** 2 / width + LOG_2PI + Math.log(width))) : this.#unmade(row, i);
    return this.#slipped(row, i, core);
  }

  /** Log likelihood of all readings on every particle, [n]. */
  get logLikelihood() {
    if (this.kept) return this.kept;
    const found = new Float64Array(this.n);
    for (let row = 0; row < this.n; row += 1) {
      let apart = 0;
      for (let i = 0; i < this.d; i += 1) apart += this.#apart(row, i);
      found[row] = this.d === 1 ? apart : logAddExp(Math.log1p(-UNRELATED) + this.#together(row), Math.log(UNRELATED) + apart);
    }
    this.kept = found;
    return found;
  }

  /** Log likelihood of each reading given those before it, for each reading [n]. */
  logSteps() {
    const { d, n } = this;
    const found = Array.from({ length: d }, () => new Float64Array(n));
    for (let row = 0; row < n; row += 1) {
      const root = this.root.subarray(row * d * d, (row + 1) * d * d);
      const step = forward(root, this.off.subarray(row * d, row * d + d), d);
      for (let i = 0; i < d; i += 1) {
        const core = this.made[row * d + i] ? Math.exp(-0.5 * (step[i] ** 2 + LOG_2PI)) / root[i * d + i] : this.#unmade(row, i);
        found[i][row] = this.#slipped(row, i, core);
      }
    }
    return found;
  }

  /** Log likelihood of a reading given all others, slips and all, [n]. */
  logGivenOrSlip(i) {
    return Float64Array.from({ length: this.n }, (_, row) => this.#slipped(row, i, this.made[row * this.d + i] ? Math.exp(this.logGiven(row, i)) : this.#unmade(row, i)));
  }

  /** Chance of a reading as far off as this or further, given the others, [n]. */
  tails(i) {
    return Float64Array.from({ length: this.n }, (_, row) => (this.made[row * this.d + i] ? 2 * ndtr(-Math.abs(this.pull[row * this.d + i]) / Math.sqrt(this.own(row, i))) : 1));
  }

  /** Squared distance of all readings from what the particle foretells, and how many it foretells. */
  distance(row) {
    let [quadratic, made] = [0, 0];
    for (let i = 0; i < this.d; i += 1) { quadratic += this.pull[row * this.d + i] * this.off[row * this.d + i]; made += this.made[row * this.d + i]; }
    return [quadratic, made];
  }

  /** Pull of each reading on what it shares with others, [d]; of one that is likelier a slip neither it nor what the others would make up for it. */
  sound(row) {
    const { d } = this;
    const odds = Array.from({ length: d }, (_, i) => this.logSlipOdds(row, i));
    const noneOrOne = logAddExp(0, odds.reduce(logAddExp, -Infinity));
    const lost = odds.map((each, i) => (Math.exp(each - noneOrOne) * this.pull[row * d + i]) / this.own(row, i));
    return odds.map((_, i) => lost.reduce((left, each, j) => left - this.precision[(row * d + i) * d + j] * each, this.pull[row * d + i]));
  }
}
