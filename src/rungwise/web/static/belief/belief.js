// What is believed about the culprit, given the readings so far. Immutable: a reading gives a new one.

import { logSum, ranked, sum } from "./numbers.js";
import { Foresight, counting } from "./foresight.js";
import { Bins } from "./bins.js";
import { inSeason } from "./season.js";

const TINY = 1e-300;
const NATS_PER_BIT = Math.log(2);
const SMALLEST = 2.2250738585072014e-308; // the least normal double

export class Belief {
  constructor(fields) { Object.assign(this, fields); this.kept = new Map(); }

  /** weights: by suspect id, in place of the cards'. said: ids of the chips of the complaint. */
  static start(model, weights = {}, said = []) {
    const { table } = model;
    const weight = table.suspects.map((card) => weights[card.id] ?? card.weight);
    const whole = sum(weight);
    const listed = 1 - model.doubts.noneWeight;
    const each = weight.map((it, at) => (listed * it) / whole / table.rows[at].length);
    const logPrior = Float64Array.from(table.suspectOf, (suspect) => Math.log(each[suspect]));
    return new Belief({ model, table, logPrior, logNonePrior: Math.log(model.doubts.noneWeight), readings: [], logWeight: logPrior, logLikelyNone: 0, earlier: null, said });
  }

  #once(name, make) {
    if (!this.kept.has(name)) this.kept.set(name, make());
    return this.kept.get(name);
  }

  upto(count) {
    let earlier = this;
    while (earlier.readings.length > count && earlier.earlier) earlier = earlier.earlier;
    const wanted = this.readings.slice(0, count);
    const same = earlier.readings.length === count && earlier.readings.every((each, at) => each.check === wanted[at].check && each.value === wanted[at].value && each.times === wanted[at].times);
    return same ? earlier : this.#given(wanted);
  }

  /** value: a number, Infinity for OL, or the choice's number. */
  observe(checkId, value) {
    let reading = { check: this.table.checkIndex(checkId), value, times: 1 };
    const kept = [];
    for (const earlier of this.readings) {
      if (earlier.check === reading.check) reading = this.#takenAgain(earlier, reading);
      else kept.push(earlier);
    }
    return this.#given([...kept, reading]);
  }

  /** What two takes of one check come to: looks that deny each other take one of the other. */
  #takenAgain(earlier, now) {
    if (this.model.agree(earlier, now)) return { ...now, times: earlier.times + 1 };
    if (this.table.checks[now.check].form !== "choice") return now;
    return { ...(earlier.times > 1 ? earlier : now), times: Math.abs(earlier.times - 1) };
  }

  #given(readings) {
    const likely = this.model.logLikelihood(readings);
    return new Belief({ ...this, kept: undefined, readings, logWeight: this.#inSeason(readings).map((each, at) => each + likely[at]), earlier: this, logLikelyNone: this.#likelyNone(readings) });
  }

  #inSeason(readings) { return inSeason(this.table, this.logPrior, readings); }

  #likelyNone(readings) {
    const share = this.model.doubts.noneBroadShare;
    let logWeight = this.#inSeason(readings);
    let total = 0;
    for (const [reading, step] of this.#steps(readings)) {
      const after = logWeight.map((each, at) => each + step[at]);
      const logKnown = logSum(after) - logSum(logWeight);
      logWeight = after;
      total += Math.log((1 - share) * Math.exp(logKnown) + share * this.model.wild(reading));
    }
    return total;
  }

  #steps(readings) {
    const ordered = [...readings].sort((a, b) => a.check - b.check);
    const steps = this.model.joint(ordered)?.logSteps() ?? [];
    let at = 0;
    return ordered.map((reading) => {
      if (!this.model.isNumber(reading)) return [reading, this.model.logAlone(reading)];
      at += 1;
      return [reading, steps[at - 1]];
    });
  }

  get logNone() { return this.logNonePrior + this.logLikelyNone; }

  /** Posterior of every particle, and of an unlisted culprit; they sum to 1. */
  get particleWeight() {
    return this.#once("weight", () => {
      let top = this.logNone;
      for (const each of this.logWeight) if (each > top) top = each;
      const weight = this.logWeight.map((each) => Math.exp(each - top));
      const none = Math.exp(this.logNone - top);
      const total = sum(weight) + none;
      return [weight.map((each) => each / total), none / total];
    });
  }

  get foresight() { return this.#once("foresight", () => Foresight.of(this.model, this.readings, counting(this.particleWeight[0]))); }

  get bins() {
    return this.#once("bins", () => {
      const [weight] = this.particleWeight;
      return Bins.of(this.foresight, Float64Array.from(this.foresight.rows, (row) => Math.max(weight[row], TINY)));
    });
  }

  get suspects() {
    return this.#once("suspects", () => {
      const [weight, none] = this.particleWeight;
      const found = new Float64Array(this.table.suspects.length);
      weight.forEach((each, row) => { found[this.table.suspectOf[row]] += each; });
      return [found, none];
    });
  }

  posterior(grouping) {
    const found = new Float64Array(grouping.names.length);
    this.suspects[0].forEach((each, at) => { found[grouping.of[at]] += each; });
    return found;
  }

  /** The most probable suspect of each repair; of equals the first. */
  get bestOfRepair() {
    return this.#once("best", () => {
      const [posterior] = this.suspects;
      const best = new Int32Array(this.table.byRepair.names.length).fill(-1);
      for (const at of ranked(posterior)) {
        const repair = this.table.byRepair.of[at];
        if (best[repair] < 0) best[repair] = at;
      }
      return best;
    });
  }

  /** [name, posterior] of each group, most probable first. */
  ranked(grouping) {
    const posterior = this.posterior(grouping);
    return ranked(posterior).map((at) => [grouping.names[at], posterior[at]]);
  }

  get bySuspect() { return this.#once("bySuspect", () => new Map(this.ranked(this.table.bySuspect))); }

  get byRepair() { return this.#once("byRepair", () => new Map(this.ranked(this.table.byRepair))); }

  get noneOfThese() { return this.suspects[1]; }

  get bestRepair() { return this.byRepair.entries().next().value; }

  /** Bits by which each reading spoke for each group against all the rest, [reading][group]. */
  evidence(grouping) {
    const odds = Array.from({ length: this.readings.length + 1 }, (_, count) => logOdds(this.upto(count), grouping));
    return odds.slice(1).map((row, at) => row.map((each, group) => (each - odds[at][group]) / NATS_PER_BIT));
  }

  get #givenOthers() {
    return this.#once("given", () => {
      const joint = this.model.joint(this.readings);
      let at = 0;
      return this.readings.map((each) => {
        if (!this.model.isNumber(each)) return this.model.logAlone(each);
        at += 1;
        return joint.logGivenOrSlip(at - 1);
      });
    });
  }

  /** Bits by which each reading fits "anything goes" better than all listed suspects. */
  surprise() {
    return this.#once("surprise", () => {
      const together = logSum(this.logWeight);
      return this.#givenOthers.map((given, at) => {
        const known = together - logSum(this.logWeight.map((each, row) => each - given[row]));
        return (Math.log(this.model.wild(this.readings[at])) - known) / NATS_PER_BIT;
      });
    });
  }

  /** Posterior of every particle as if one reading had not been taken. */
  weightWithout(place) {
    const given = this.#givenOthers[place];
    const log = this.logWeight.map((each, row) => each - given[row]);
    const top = log.reduce((a, b) => (b > a ? b : a), -Infinity);
    const weight = log.map((each) => Math.exp(each - top));
    const total = sum(weight);
    return weight.map((each) => each / total);
  }

  /** How a reading by itself speaks for one suspect against another, nats. */
  logRatio(suspectId, place, against) {
    const log = this.model.logAlone(this.readings[place]);
    const mean = (id) => {
      const rows = this.table.rows[this.table.suspectIndex(id)];
      return logSum(rows.map((row) => log[row])) - Math.log(rows.length);
    };
    return mean(suspectId) - mean(against);
  }
}

const logOdds = (belief, grouping) => {
  const mass = belief.posterior(grouping);
  return mass.map((each, at) => {
    let others = 0; // and not 1 - p, which cancels
    mass.forEach((other, place) => { if (place !== at) others += other; });
    return Math.log(Math.max(each, SMALLEST)) - Math.log(Math.max(others + belief.noneOfThese, SMALLEST));
  });
};
