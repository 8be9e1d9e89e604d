// What checks would read on the unit at hand, as far as its readings so far tell.

import { argsort, range, searchSorted } from "./numbers.js";

const FEW = 400;
const NEGLIGIBLE = 2e-3;

/** The particles that carry all but a negligible part of a belief; of few, every one. */
export const counting = (weight) => {
  if (weight.length <= FEW) return range(weight.length);
  const order = argsort(weight.map((each) => -each));
  let total = 0;
  const rise = order.map((row) => { total += weight[row]; return total; });
  const enough = searchSorted(rise, total * (1 - NEGLIGIBLE)) + 1;
  return order.slice(0, enough).sort((a, b) => a - b);
};

/** What a check shares with the readings made, and how much of it they have told. */
const throughUnknowns = (model, joint, q, row, check) => {
  const { d, made, precision } = joint;
  const shared = Float64Array.from(joint.checks, (other, i) => (made[row * d + i] ? model.shared(q, check, other) : 0));
  let known = 0;
  for (let i = 0; i < d; i += 1) for (let j = 0; j < d; j += 1) known += shared[i] * precision[row * d * d + i * d + j] * shared[j];
  return { shared, known };
};

/** How far the readings move a particle along its severity, and what variance of it is left. */
const alongSeverity = (joint, row, sound) => {
  const { d, precision } = joint;
  const own = sound.map((_, i) => joint.tangent[i][row] * joint.made[row * d + i]);
  let along = 0;
  let told = 0;
  for (let i = 0; i < d; i += 1) {
    along += sound[i] * own[i];
    for (let j = 0; j < d; j += 1) told += own[i] * precision[row * d * d + i * d + j] * own[j];
  }
  return [along, Math.min(Math.max(1 - told, 0), 1)];
};

/** Readings foretold, normal about each particle: rows, checks, mean and sd as [check][row]. */
export class Foresight {
  constructor(fields) { Object.assign(this, fields); }

  static of(model, readings, rows, checks = range(model.table.checks.length)) {
    const joint = model.joint(readings);
    const { table } = model;
    const mean = checks.map((check) => Float64Array.from(rows, (row) => model.z[check][row]));
    const sd = checks.map(() => new Float64Array(rows.length));
    if (!joint) {
      checks.forEach((check, m) => rows.forEach((row, n) => { sd[m][n] = model.spread(row, check); }));
      return new Foresight({ model, rows, checks, mean, sd });
    }
    const { d } = joint;
    const M = table.checks.length;
    const told = new Map(); // of each slopes, by the first particle that follows it
    const toldBy = (q, row) => {
      if (!told.has(q)) told.set(q, checks.map((check) => throughUnknowns(model, joint, q, row, check)));
      return told.get(q);
    };
    rows.forEach((row, n) => {
      const q = table.slopeOf[row];
      const through = toldBy(q, row);
      const sound = joint.sound(row);
      const [along, left] = alongSeverity(joint, row, sound);
      checks.forEach((check, m) => {
        const tangent = table.tangent[check][row];
        const { shared, known } = through[m];
        let shift = 0;
        for (let i = 0; i < d; i += 1) shift += sound[i] * shared[i];
        mean[m][n] += along * tangent + shift;
        const variance = model.variance[check][row] + left * tangent ** 2 + Math.max(model.unknownVariance[q * M + check] - known, 0);
        sd[m][n] = Math.sqrt(variance);
      });
    });
    return new Foresight({ model, rows, checks, mean, sd });
  }
}
