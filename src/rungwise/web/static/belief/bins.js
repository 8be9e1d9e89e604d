// Foretold readings in bins some errors wide, so that noise does not pass for information.

const SPACING = 3;
const MOST_BINS = 40;
const ROUNDING = 1e-9;

/** count, first, partial: by place. lower, share: [place][particle]. chance: [choice row][particle]. */
export class Bins {
  constructor(fields) { Object.assign(this, fields); }

  static of(foresight, weight) {
    const { model, rows, checks } = foresight;
    const found = new Bins({ count: [], lower: [], share: [], chance: [], first: [], partial: [], size: rows.length });
    checks.forEach((check, place) => {
      const card = model.table.checks[check];
      if (card.form === "choice") {
        found.#put(card.choices.length, new Uint8Array(rows.length), new Float32Array(rows.length), found.chance.length);
        for (const chance of model.table.choice[check]) found.chance.push(Float64Array.from(rows, (row) => chance[row]));
      } else {
        const [lower, share, count] = binned(foresight.mean[place], foresight.sd[place], weight, model.scale[check].top);
        found.#put(count, lower, share, -1);
      }
    });
    return found;
  }

  #put(count, lower, share, first) {
    this.count.push(count);
    this.lower.push(lower);
    this.share.push(share);
    this.first.push(first);
    this.partial.push(first < 0 && lower.includes(count));
  }

  ofParticles(rows) {
    const some = (arrays) => arrays.map((array) => {
      const found = new array.constructor(rows.length);
      for (let at = 0; at < rows.length; at += 1) found[at] = array[rows[at]];
      return found;
    });
    return new Bins({ ...this, lower: some(this.lower), share: some(this.share), chance: some(this.chance), size: rows.length });
  }

  ofChecks(checks) {
    const some = (list) => checks.map((check) => list[check]);
    return new Bins({ ...this, count: some(this.count), lower: some(this.lower), share: some(this.share), first: some(this.first), partial: some(this.partial) });
  }

  isChoice(check) { return this.first[check] >= 0; }

  /** Weight of each group in each bin of a check, [group * bins + bin]. */
  mass(check, weight, group, groups) {
    const bins = this.count[check];
    const mass = new Float64Array(groups * bins);
    if (this.isChoice(check)) {
      for (let choice = 0; choice < bins; choice += 1) {
        const chance = this.chance[this.first[check] + choice];
        for (let row = 0; row < weight.length; row += 1) mass[group[row] * bins + choice] += weight[row] * chance[row];
      }
      return mass;
    }
    const [lower, share] = [this.lower[check], this.share[check]];
    const unknown = this.partial[check] ? new Float64Array(groups) : null;
    for (let row = 0; row < weight.length; row += 1) {
      if (lower[row] === bins) { unknown[group[row]] += weight[row]; continue; }
      const upper = share[row] * weight[row];
      const cell = group[row] * bins + lower[row];
      mass[cell] += weight[row] - upper;
      if (upper !== 0) mass[cell + 1] += upper;
    }
    if (unknown) for (let g = 0; g < groups; g += 1) for (let bin = 0; bin < bins; bin += 1) mass[g * bins + bin] += unknown[g] / bins;
    return mass;
  }

  /** Probability of one bin (or choice) on every particle. */
  likelihood(check, outcome) {
    if (this.isChoice(check)) return this.chance[this.first[check] + outcome];
    const count = this.count[check];
    const share = this.share[check];
    return Float64Array.from(this.lower[check], (lower, row) => {
      if (lower === count) return 1 / count;
      return (lower === outcome ? 1 - share[row] : 0) + (lower === outcome - 1 ? share[row] : 0);
    });
  }
}

const binned = (mean, sd, weight, top) => {
  const n = mean.length;
  const over = Uint8Array.from(mean, (each) => (each > top || each === Infinity ? 1 : 0));
  let [low, high, whole, inverse] = [Infinity, -Infinity, 0, 0];
  for (let row = 0; row < n; row += 1) {
    whole += weight[row];
    inverse += weight[row] / Math.max(sd[row], 1e-12);
    if (!Number.isFinite(mean[row]) || over[row]) continue;
    if (mean[row] < low) low = mean[row];
    if (mean[row] > high) high = mean[row];
  }
  if (!Number.isFinite(low)) low = 0;
  if (!Number.isFinite(high)) high = 0;
  // The harmonic mean: broad deviations at one end must not hide what can be told apart at the other.
  const width = Math.max((SPACING * whole) / inverse, (high - low) / (MOST_BINS - 2), 1e-12);
  const floor = new Uint8Array(n);
  const share = new Float32Array(n);
  const used = new Uint8Array(MOST_BINS + 2);
  let anyOver = false;
  for (let row = 0; row < n; row += 1) {
    if (over[row]) { anyOver = true; continue; }
    if (!Number.isFinite(mean[row])) continue;
    const coordinate = (mean[row] - low) / width;
    floor[row] = Math.floor(coordinate + ROUNDING);
    const rest = Math.max(coordinate - floor[row], 0);
    share[row] = rest > ROUNDING ? rest : 0;
    used[floor[row]] = 1;
    if (rest > ROUNDING) used[floor[row] + 1] = 1;
  }
  const place = new Int16Array(used.length);
  let count = 0;
  used.forEach((each, bin) => { count += each; place[bin] = count - 1; });
  const bins = Math.max(count + (anyOver ? 1 : 0), 1);
  const lower = new Uint8Array(n);
  for (let row = 0; row < n; row += 1) {
    if (over[row]) lower[row] = count;
    else lower[row] = Number.isFinite(mean[row]) ? place[floor[row]] : bins;
  }
  return [lower, share, bins];
};
