// What each check could still say, under one belief or under several at once.

import { searchSorted, sum } from "./numbers.js";

const TINY = 1e-300;
const LOG_2 = Math.log(2);

/** -p log2 p, with 0 log 0 = 0. */
const surprisal = (p) => (-p * Math.log(Math.max(p, TINY))) / LOG_2;

/**
 * Beliefs reduced to the particles that still count: weight, row (of group) of each; start: the
 * first row of each belief; posterior of each row; none of each belief.
 */
export class Outlook {
  constructor(fields) { Object.assign(this, fields); }

  static of(belief) {
    const { table, foresight } = belief;
    const [all] = belief.particleWeight;
    const weight = Float64Array.from(foresight.rows, (row) => Math.max(all[row], TINY));
    const group = Int32Array.from(foresight.rows, (row) => table.byRepair.of[table.suspectOf[row]]);
    return Outlook.stacked(belief.bins, belief.model.doubts, [weight], [group], [belief.noneOfThese]);
  }

  static stacked(bins, doubts, weights, groups, none) {
    const total = weights.map((weight, at) => sum(weight) + none[at]);
    const size = weights.reduce((count, each) => count + each.length, 0);
    const weight = new Float64Array(size);
    const row = new Int32Array(size);
    const start = [];
    const posterior = [];
    let at = 0;
    weights.forEach((each, belief) => {
      const mass = new Map();
      each.forEach((it, n) => { mass.set(groups[belief][n], (mass.get(groups[belief][n]) ?? 0) + it / total[belief]); });
      const present = [...mass.keys()].filter((group) => mass.get(group) > 0).sort((a, b) => a - b);
      const place = new Map(present.map((group, n) => [group, posterior.length + n]));
      start.push(posterior.length);
      for (const group of present) posterior.push(mass.get(group));
      each.forEach((it, n) => { weight[at] = it / total[belief]; row[at] = place.get(groups[belief][n]); at += 1; });
    });
    return new Outlook({ bins, doubts, weight, row, start, posterior, none: none.map((each, belief) => each / total[belief]) });
  }

  /** About the same single belief with at most so many particles, picked evenly by weight. */
  thinned(count) {
    let total = 0;
    const rise = Float64Array.from(this.weight, (each) => { total += each; return total; });
    const times = new Map();
    for (let step = 0; step < count; step += 1) {
      const at = searchSorted(rise, (total * (step + 0.5)) / count);
      times.set(at, (times.get(at) ?? 0) + 1);
    }
    const rows = [...times.keys()];
    const weight = Float64Array.from(rows, (at) => times.get(at) * (total / count));
    return Outlook.stacked(this.bins.ofParticles(rows), this.doubts, [weight], [Int32Array.from(rows, (at) => this.row[at])], this.none);
  }

  #rows(belief) { return [this.start[belief], this.start[belief + 1] ?? this.posterior.length]; }

  best(belief = 0) {
    const [from, to] = this.#rows(belief);
    return this.posterior.slice(from, to).reduce((a, b) => Math.max(a, b));
  }

  entropyBits(belief = 0) {
    const [from, to] = this.#rows(belief);
    let total = surprisal(this.none[belief]);
    for (let at = from; at < to; at += 1) total += surprisal(this.posterior[at]);
    return total;
  }

  /** Joint probability of row and outcome of a check, and of none and outcome, slips in both. */
  mass(check) {
    const bins = this.bins.count[check];
    const slip = this.bins.isChoice(check) ? this.doubts.choiceSlip : this.doubts.readingSlip;
    const mass = this.bins.mass(check, this.weight, this.row, this.posterior.length);
    this.posterior.forEach((each, row) => { for (let bin = 0; bin < bins; bin += 1) mass[row * bins + bin] = mass[row * bins + bin] * (1 - slip) + each * (slip / bins); });
    const broad = this.doubts.noneBroadShare;
    const none = this.start.map((_, belief) => {
      const [from, to] = this.#rows(belief);
      const listed = Math.max(1 - this.none[belief], TINY);
      return Float64Array.from({ length: bins }, (__, bin) => {
        let usual = 0;
        for (let row = from; row < to; row += 1) usual += mass[row * bins + bin];
        return this.none[belief] * ((1 - broad) * (usual / listed) + broad / bins);
      });
    });
    return [mass, none, bins];
  }

  /** Expected bits about the group and probability of the then most probable one, for each belief. */
  prospects(check) {
    const [mass, none, bins] = this.mass(check);
    const bits = [];
    const bestAfter = [];
    this.start.forEach((_, belief) => {
      const [from, to] = this.#rows(belief);
      let [outcomes, joint, best] = [0, 0, 0];
      for (let bin = 0; bin < bins; bin += 1) {
        let [total, most] = [0, -Infinity];
        for (let row = from; row < to; row += 1) {
          const each = mass[row * bins + bin];
          total += each;
          joint += surprisal(each);
          if (each > most) most = each;
        }
        joint += surprisal(none[belief][bin]);
        outcomes += surprisal(total + none[belief][bin]);
        best += most;
      }
      bits.push(Math.max(this.entropyBits(belief) + outcomes - joint, 0));
      bestAfter.push(best);
    });
    return { bits, bestAfter };
  }
}
