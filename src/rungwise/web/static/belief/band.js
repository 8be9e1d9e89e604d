// What a check should read if a certain repair is the right one.

import { Foresight } from "./foresight.js";
import { argsort, searchSorted, sum } from "./numbers.js";
import { readingText } from "./wording.js";

const TAIL = 0.05;
const ROUNDING = 1e-9;
const WORTH_SAYING = 0.1;
const GAP = 0.25;
const GAP_ERRORS = 1.5;
const SPREAD = 3;
/** By which each normal is laid out: its quantiles at (k + ½) / 9. */
const POINTS = [-1.5932188180230507, -0.967421566101701, -0.5894557978497783, -0.28221614706250814, 0, 0.28221614706250825, 0.5894557978497783, 0.967421566101701, 1.59321881802305];

/** { spans: [low, high, share] likeliest first, text }. */
export const expectedBand = (belief, checkId, repair) => {
  const { table } = belief;
  const check = table.checkIndex(checkId);
  const group = table.byRepair.index(repair);
  const rows = [...table.suspectOf.keys()].filter((row) => table.byRepair.of[table.suspectOf[row]] === group);
  const [all] = belief.particleWeight;
  const raw = rows.map((row) => all[row]);
  const total = sum(raw);
  const weight = raw.map((each) => (total > 0 ? each / total : 1 / rows.length));
  const card = table.checks[check];
  if (card.form === "choice") {
    const spans = table.choice[check].map((chance, n) => [n, n, rows.reduce((share, row, at) => share + weight[at] * chance[row], 0)]);
    return banded(card, spans, 0);
  }
  const foresight = Foresight.of(belief.model, belief.readings, rows, [check]);
  let sd = Infinity;
  for (const row of rows) if (Number.isFinite(table.reading[check][row])) sd = Math.min(sd, table.readingSd[check][row]);
  return banded(card, numberSpans(foresight, weight), sd);
};

const numberSpans = (foresight, weight) => {
  const [check] = foresight.checks;
  const scale = foresight.model.scale[check];
  const z = [];
  const share = [];
  let over = 0;
  let wide = 0;
  weight.forEach((each, n) => {
    wide += each * foresight.sd[0][n];
    for (const point of POINTS) {
      const at = foresight.mean[0][n] + foresight.sd[0][n] * point;
      const part = each / POINTS.length;
      if (at > scale.top || at === Infinity || foresight.mean[0][n] > scale.top) over += part;
      else if (Number.isFinite(at) && part > 0) { z.push(at); share.push(part); }
    }
  });
  const spans = [[Infinity, Infinity, over]];
  const order = argsort(z);
  const gap = Math.max(GAP, GAP_ERRORS * wide);
  let run = [];
  const close = () => {
    if (!run.length) return;
    const [low, high] = middlePart(run.map((at) => z[at]), run.map((at) => share[at]));
    const reading = (end) => Math.max(toReading(scale, Math.min(end, scale.most)), 0);
    spans.push([reading(low), reading(high), sum(run.map((at) => share[at]))]);
    run = [];
  };
  for (const at of order) {
    if (run.length && z[at] - z[run[run.length - 1]] > gap) close();
    run.push(at);
  }
  close();
  return spans;
};

const toReading = (scale, z) => (z > scale.top ? Infinity : scale.floor * Math.sinh(z));

const middlePart = (rising, share) => {
  let total = 0;
  const rise = share.map((each) => { total += each; return total; });
  const low = searchSorted(rise, (TAIL - ROUNDING) * total);
  const high = searchSorted(rise, (1 - TAIL - ROUNDING) * total);
  return [rising[low], rising[Math.min(high, rising.length - 1)]];
};

const banded = (card, spans, sd) => {
  const kept = [...spans].sort((a, b) => b[2] - a[2]).filter((span) => span[2] >= WORTH_SAYING - ROUNDING);
  if (!kept.length) return { spans: [], text: "anything" };
  return { spans: kept, text: kept.map(([low, high]) => spanText(card, low, high, sd)).join(", or ") };
};

const spanText = (card, low, high, sd) => {
  if (!Number.isFinite(low) || high - low <= SPREAD * sd) {
    const middle = Number.isFinite(low) ? 0.5 * (low + high) : low;
    return readingText(card, middle, Number.isFinite(sd) ? sd : 0);
  }
  const [first, last] = [readingText(card, low, sd), readingText(card, high, sd)];
  if (first === last) return first;
  if (low <= 0) return `up to ${last}`;
  const [number, ...unit] = first.split(" ");
  return `${unit.join(" ") === last.split(" ").slice(1).join(" ") ? number : first} to ${last}`;
};
