// How likely a reading is on every particle.

import { OFF_BY, mistakes, moves, namedShare, slipDensity } from "./hand_slips.js";
import { Joint } from "./joint.js";
import { argsort, logAddExp, ndtr } from "./numbers.js";
import { onScale, sharedDeviations } from "./scale.js";

/** Slopes with those that are not zero first in each list, which most of them are not. */
const compacted = ({ unknown, by, longest }, lists) => {
  const [slopeUnknown, slopeBy] = [new Uint16Array(unknown.length), new Float64Array(by.length)];
  for (let list = 0; list < lists; list += 1) {
    let to = list * longest;
    for (let at = list * longest; at < (list + 1) * longest; at += 1) {
      if (by[at] === 0) continue;
      slopeUnknown[to] = unknown[at];
      slopeBy[to] = by[at];
      to += 1;
    }
  }
  return { slopeUnknown, slopeBy, longest };
};

export const DOUBTS = { readingSlip: 0.019, choiceSlip: 0.02, noneWeight: 0.015, noneBroadShare: 0.3, misfitShare: 0.08 };

/** A reading: { check, value, times }; value is a number, Infinity for OL, or the choice's number. */
export class ReadingModel {
  constructor(table, doubts = DOUBTS) {
    this.table = table;
    this.doubts = doubts;
    Object.assign(this, onScale(table));
    this.families = sharedDeviations(table.checks);
    Object.assign(this, compacted(table.slopes, table.own.length));
    const { slopeBy: by, longest } = this;
    const M = table.checks.length;
    this.unknownVariance = new Float64Array(table.own.length);
    for (let at = 0; at < table.own.length; at += 1) {
      let total = 0;
      for (let k = 0; k < longest; k += 1) total += by[at * longest + k] ** 2;
      for (const each of this.families[at % M]) total += each ** 2;
      this.unknownVariance[at] = total;
    }
    this.mistakes = mistakes(table.checks);
    this.joints = new Map();
    this.alone = new Map();
  }

  isChoice(check) { return this.table.checks[check].form === "choice"; }

  isNumber(reading) { return !this.isChoice(reading.check) && Number.isFinite(reading.value); }

  slip({ check, times }) {
    const { readingSlip, misfitShare, choiceSlip } = this.doubts;
    return this.isChoice(check) ? choiceSlip ** times : readingSlip * Math.max(readingSlip ** (times - 1), misfitShare);
  }

  wild({ check, value }) {
    if (this.isChoice(check)) return 1 / this.table.checks[check].choices.length;
    return value === Infinity ? this.scale[check].overRange : this.scale[check].wild;
  }

  ofReading(check, value) { return Math.asinh(value / this.scale[check].floor); }

  logLikelihood(readings) {
    const ways = this.labelings(readings).map(({ share, readings: really }) => this.logAs(really).map((each) => Math.log(share) + each));
    return ways.reduce((a, b) => a.map((each, row) => logAddExp(each, b[row])));
  }

  /** The readings as they were told, and with each mistake made: { of, readings, share, first }. */
  labelings(readings) {
    const found = [];
    for (const { of, share, first } of this.mistakes) {
      const moved = readings.filter(({ check }) => moves(of, check));
      if (!moved.length) continue;
      const really = readings.map((each) => ({ ...each, check: of.get(each.check) ?? each.check }));
      found.push({ of, readings: really, share: share ** Math.min(...moved.map(({ times }) => times)), first });
    }
    const asTold = 1 - found.reduce((total, { share }) => total + share, 0);
    return [{ of: null, readings, share: asTold, first: [] }, ...found];
  }

  /** Log likelihood of readings as they are told, on every particle. */
  logAs(readings) {
    const joint = this.joint(readings);
    const total = joint ? Float64Array.from(joint.logLikelihood) : new Float64Array(this.table.particles);
    for (const each of readings) {
      if (this.isNumber(each)) continue;
      const alone = this.#kept(this.alone, [each], () => this.#alone(each));
      for (let row = 0; row < total.length; row += 1) total[row] += alone[row];
    }
    return total;
  }

  logAlone(reading) { return this.logLikelihood([reading]); }

  joint(readings) {
    const numbers = readings.filter((each) => this.isNumber(each));
    return numbers.length ? this.#kept(this.joints, numbers, () => this.#joint(numbers)) : null;
  }

  /** Whether two takes of one check are the same within three meter errors. */
  agree(one, other) {
    if (this.isChoice(one.check) || !Number.isFinite(one.value)) return one.value === other.value;
    const [z, w] = [one, other].map((each) => this.ofReading(one.check, each.value));
    const sd = this.meterSd(one.check, one.value) / Math.hypot(one.value, this.scale[one.check].floor);
    return Math.abs(z - w) <= 3 * Math.SQRT2 * sd;
  }

  meterSd(check, value) {
    const reading = this.table.reading[check];
    const finite = [...reading.keys()].filter((row) => Number.isFinite(reading[row]));
    if (!finite.length) return 1;
    const order = argsort(finite.map((row) => reading[row])).map((at) => finite[at]);
    const sd = this.table.readingSd[check];
    const last = order[order.length - 1];
    if (value >= reading[last]) return sd[last];
    if (value <= reading[order[0]]) return sd[order[0]];
    const high = order.findIndex((row) => reading[row] > value);
    const [a, b] = [order[high - 1], order[high]];
    return sd[a] + ((sd[b] - sd[a]) / (reading[b] - reading[a])) * (value - reading[a]);
  }

  unknownAt(row, check) { return this.unknownVariance[this.table.slopeOf[row] * this.table.checks.length + check]; }

  /** Deviation of a reading before any other. */
  spread(row, check) { return Math.sqrt(this.variance[check][row] + this.unknownAt(row, check) + this.table.tangent[check][row] ** 2); }

  /** Covariance of two checks by the unknowns and the families, for one slopes. */
  shared(q, one, other) {
    const M = this.table.checks.length;
    const [a, b] = [(q * M + one) * this.longest, (q * M + other) * this.longest];
    let total = 0;
    for (let k = 0; k < this.longest; k += 1) {
      const by = this.slopeBy[a + k];
      if (by === 0) break; // what is not zero comes first
      const unknown = this.slopeUnknown[a + k];
      for (let l = 0; l < this.longest && this.slopeBy[b + l] !== 0; l += 1) if (this.slopeUnknown[b + l] === unknown) total += by * this.slopeBy[b + l];
    }
    const [f, g] = [this.families[one], this.families[other]];
    for (let at = 0; at < f.length; at += 1) total += f[at] * g[at];
    return total;
  }

  #kept(held, readings, make) {
    const key = readings.map(({ check, value, times }) => `${check}:${value}:${times}`).join(" ");
    if (!held.has(key)) {
      if (held.size > 48) held.delete(held.keys().next().value);
      held.set(key, make());
    }
    return held.get(key);
  }

  #joint(numbers) {
    const checks = numbers.map((each) => each.check);
    const d = checks.length;
    const count = this.table.own.length / this.table.checks.length;
    const unknown = Array.from({ length: count }, (_, q) => Float64Array.from({ length: d * d }, (__, at) => this.shared(q, checks[Math.floor(at / d)], checks[at % d])));
    const column = (columns) => checks.map((check) => columns[check]);
    const joint = new Joint({
      value: numbers.map(({ check, value }) => this.ofReading(check, value)),
      middle: column(this.z), variance: column(this.variance), tangent: column(this.table.tangent),
      unknown, follows: this.table.slopeOf,
      slip: numbers.map((each) => this.slip(each)), wild: numbers.map((each) => this.z[each.check].map((_, row) => this.slipped(each, row))),
    });
    joint.checks = checks;
    return joint;
  }

  #offBy(way, { check, value }, row) { return slipDensity(OFF_BY[way], this.z[check][row], this.spread(row, check), this.ofReading(check, value)); }

  /** Density of a number as a slip on a particle. */
  slipped(reading, row) {
    const named = OFF_BY.reduce((total, _, way) => total + this.#offBy(way, reading, row), 0);
    return (1 - namedShare(this.z[reading.check][row])) * this.wild(reading) + named;
  }

  /** Of a number as a slip on a particle, the share of one way. */
  slipShare(way, reading, row) { return this.#offBy(way, reading, row) / this.slipped(reading, row); }

  #alone(reading) {
    const [slip, wild] = [this.slip(reading), this.wild(reading)];
    const z = this.z[reading.check];
    const share = this.isChoice(reading.check) ? () => 1 : (row) => 1 - namedShare(z[row]);
    return this.#mass(reading, wild).map((mass, row) => Math.log((1 - slip) * mass + slip * share(row) * wild));
  }

  #mass({ check, value }, wild) {
    if (this.isChoice(check)) return this.table.choice[check][value];
    const { top } = this.scale[check];
    return this.z[check].map((z, row) => {
      if (Number.isNaN(z)) return wild;
      if (!Number.isFinite(top)) return z === Infinity ? 1 : 0;
      return ndtr((z - top) / this.spread(row, check));
    });
  }
}
