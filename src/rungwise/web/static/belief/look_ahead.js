// A second step of look-ahead, where the belief is small enough to afford it.

import { Outlook } from "./outlook.js";
import { argmax, round } from "./numbers.js";
import { sortedBy } from "./prices.js";

const FIRST_STEPS = 8;
const SECOND_STEPS = 16;
const MOST_WORK = 100000;
const LIKELY = 0.01;
const NEGLIGIBLE = 1e-3;
const PAIR_BITS = 0.2;
const LATE_BITS = 2;

export class LookAhead {
  constructor(table, outlook, prices, ranked) { Object.assign(this, { table, outlook, prices, ranked }); }

  /** All candidates, the affordable few of the best put in the order of two steps. */
  reordered() {
    const [forks, lookedAt] = this.#forks(this.prices.leastBits);
    if (lookedAt < 2 || !forks.length) return [...this.ranked];
    const beyond = expected(forks, this.#minutesAfter(forks), lookedAt);
    const minutes = beyond.map((more, at) => this.ranked[at].effort + more);
    const order = sortedBy([...Array(lookedAt).keys()], (at) => [round(minutes[at], 2), at]);
    return [...order.map((at) => this.ranked[at]), ...this.ranked.slice(lookedAt)];
  }

  /** The candidate that with a second check tells most, where no single check tells anything. */
  firstOfPair() {
    const [forks, lookedAt] = this.#forks(0);
    if (!forks.length) return null;
    const [, bits] = this.#bitsAfter(forks);
    const brought = expected(forks, forks.map((_, at) => Math.max(...bits.map((row) => row[at]))), lookedAt);
    const at = argmax(brought);
    return brought[at] < PAIR_BITS ? null : { ...this.ranked[at], bits: 0.5 * brought[at] };
  }

  #forks(leastBits) {
    const forks = [];
    const second = Math.min(SECOND_STEPS, this.ranked.length);
    let particles = 0;
    const firsts = this.ranked.slice(0, FIRST_STEPS);
    for (const [place, each] of firsts.entries()) {
      if (each.bits < leastBits || particles * second > MOST_WORK) return [forks, place];
      for (const fork of this.#forksOf(place, this.table.checkIndex(each.check.id))) { forks.push(fork); particles += fork.kept.length; }
    }
    return [forks, firsts.length];
  }

  *#forksOf(first, check) {
    const [mass, [none], bins] = this.outlook.mass(check);
    const rows = this.outlook.posterior.length;
    for (let outcome = 0; outcome < bins; outcome += 1) {
      let chance = 0;
      for (let row = 0; row < rows; row += 1) chance += mass[row * bins + outcome];
      chance += none[outcome];
      if (chance < LIKELY) continue;
      const likelihood = this.outlook.bins.likelihood(check, outcome);
      const weight = this.outlook.weight.map((each, at) => each * likelihood[at]);
      const kept = [...weight.keys()].filter((at) => weight[at] > (NEGLIGIBLE * chance) / weight.length);
      if (kept.length) yield { first, chance, kept, weight: Float64Array.from(kept, (at) => weight[at]), none: none[outcome] };
    }
  }

  #minutesAfter(forks) {
    const [first] = this.ranked;
    const minutesPerBit = LATE_BITS / (first.bits / first.effort);
    const [after, bits] = this.#bitsAfter(forks);
    const seconds = this.ranked.slice(0, SECOND_STEPS);
    return forks.map((fork, at) => {
      const unknown = after.entropyBits(at);
      const now = this.ranked[fork.first].check;
      const onward = seconds.map((then, place) => Math.max(unknown - bits[place][at], 0) * minutesPerBit + this.prices.effort(then.check, now));
      return Math.min(this.prices.wrongRepair(after.best(at)), unknown * minutesPerBit, ...onward);
    });
  }

  #bitsAfter(forks) {
    const second = this.ranked.slice(0, SECOND_STEPS).map((each) => this.table.checkIndex(each.check.id));
    const bins = this.outlook.bins.ofChecks(second).ofParticles(forks.flatMap((fork) => fork.kept));
    const groups = forks.map((fork) => Int32Array.from(fork.kept, (at) => this.outlook.row[at]));
    const after = Outlook.stacked(bins, this.outlook.doubts, forks.map((fork) => fork.weight), groups, forks.map((fork) => fork.none));
    const bits = second.map((_, place) => after.prospects(place).bits);
    forks.forEach((fork, at) => { bits[fork.first][at] = 0; }); // the first check again
    return [after, bits];
  }
}

const expected = (forks, worth, firsts) => {
  const found = new Array(firsts).fill(0);
  forks.forEach((fork, at) => { found[fork.first] += fork.chance * worth[at]; });
  return found;
};
