// The lock-out of a call without signal: what stands of a plan's steps, by the rules that came
// with the plan. The server's own is web/pages/make_dead.

import { valueOf } from "./call.js";
import { round } from "./numbers.js";
import { formatQuantity } from "./wording.js";

const VOLTS = { form: "number", unit: "V" };
const ALL = "all below"; // the quick answer to a card whose readings must all be dead

export const voltsText = (volt) => formatQuantity(round(volt, volt >= 10 ? 0 : 1), "V");

/** What a reading says by its rule: { fits, volts, seconds }. */
export const judged = (rule, volt) => {
  const value = Math.abs(volt);
  const high = rule.high ?? Infinity;
  const fits = rule.low <= value && (value < high || (rule.closed && value === high));
  const seconds = fits || !rule.tau ? 0 : Math.ceil(rule.tau * Math.log(value / high));
  return { fits, volts: voltsText(value), seconds: String(seconds) };
};

/** Rows of a plan after what waits on this phone. entries: { path, fields, at }, oldest first. */
export const rowsAfter = (plan, standing, entries) => {
  const steps = new Map(plan.steps.map((each) => [each.id, each]));
  let rows = [...standing];
  for (const { path, fields, at } of entries) {
    if (path === "/dead/power-on") rows = [];
    else if (path === "/dead/again") { if (fields.get("hands") === plan.scope) rows = rows.filter(({ id }) => !steps.get(id).again); }
    else if (path === "/dead") {
      const known = fields.getAll("check").filter((id) => steps.has(id));
      for (const id of known) rows = [...rows.filter((each) => each.id !== id), { id, at, ...toldOf(steps.get(id), fields) }];
      if (fields.get("done") === "false" && known.length) rows = openAgain(rows, steps, Math.min(...known.map((id) => steps.get(id).number)), at);
    }
  }
  return rows;
};
/** What rests on a step that is taken back is taken back too: all that comes after it. */
const openAgain = (rows, steps, first, at) => {
  const gone = rows.filter(({ id, done, typed }) => steps.get(id).number > first && (done || typed));
  const again = gone.sort((one, other) => steps.get(one.id).number - steps.get(other.id).number);
  return [...rows.filter((each) => !gone.includes(each)), ...again.map(({ id }) => ({ id, at, typed: "", volt: null, done: false, refused: false }))];
};
const toldOf = (step, fields) => {
  const done = (fields.get("done") ?? "true") === "true";
  if (!step.rule) return { typed: "", volt: null, done, refused: false };
  const said = fields.get("quick") || (fields.get("typed") ?? "").trim();
  if (said === ALL && step.all) return { typed: step.all, volt: null, done: true, refused: false };
  if (!said) return { typed: "", volt: null, done: false, refused: false };
  const volt = valueOf(VOLTS, said, fields.get("unit") ?? "", "");
  return { typed: said, volt: volt ?? null, done: done && typeof volt === "number", refused: volt === undefined };
};

/** Every step with its state, the card that is next, what was done last, and what was measured. */
export const standing = (plan, rows) => {
  const held = new Map(rows.map((each, order) => [each.id, { ...each, order }]));
  const lines = plan.steps.map((step) => lineOf(step, held.get(step.id)));
  const result = lines.find(({ step }) => step.kind === "result");
  if (result && !result.row && lines.every((each) => each === result || each.fits || each.leftOut)) result.fits = true;
  const first = lines.find((each) => !each.fits && !each.leftOut);
  for (const each of lines) {
    each.state = each.fits ? "done" : each.said && !each.said.fits ? "not so" : each.leftOut ? "left out" : each === first ? "next" : "later";
  }
  lines.forEach((each, at) => { each.proved = provedAt(lines, at); });
  const byId = new Map(lines.map((each) => [each.step.id, each]));
  const cards = plan.cards.map((card) => ({ ...card, steps: card.lines.map((id) => byId.get(id)) }));
  const isDone = (card) => card.steps.every(({ state }) => state === "done" || state === "left out");
  const last = (card) => Math.max(...card.steps.map(({ row }) => (row ? row.order : -1)));
  const told = cards.filter((card) => isDone(card) && last(card) >= 0);
  const undo = told.reduce((one, other) => (one && last(one) >= last(other) ? one : other), null);
  const card = cards.find((each) => !isDone(each)) ?? null;
  return { lines, cards, card, undo, proof: proofOf(lines), same: card && sameOf(cards, card) };
};
const lineOf = (step, row) => {
  const said = step.rule && row && !row.refused && row.volt !== null ? judged(step.rule, row.volt) : null;
  const atOnce = Boolean(step.rule && row && row.done && row.volt === null && !row.refused && row.typed);
  const fits = step.rule ? Boolean(said?.fits) || atOnce : Boolean(row?.done);
  const leftOut = Boolean(row && row.typed && row.volt === null && !row.refused && !row.done);
  return { step, row, said, atOnce, fits, leftOut };
};
const provedAt = (lines, at) => {
  const { step, fits, said, row } = lines[at];
  if (!["try", "measure"].includes(step.kind) || !(fits || (said && !said.fits))) return "";
  const order = (each) => each.row?.order ?? -1;
  const proofs = lines.map((each, place) => ({ each, place })).filter(({ each }) => each.step.kind === "prove meter");
  const before = proofs.filter(({ place }) => place < at).at(-1)?.each;
  const after = proofs.find(({ place }) => place > at)?.each;
  const own = row ? row.order : -1;
  if (!before || !before.fits || order(before) > own) return "notBefore";
  return !after || !after.fits || order(after) < own ? "notAfter" : "";
};

/** What the readings have shown: { asked, taken, notSo, open }, each a line of a step. */
const proofOf = (lines) => {
  const asked = lines.filter(({ step }) => step.measured);
  const taken = asked.filter(({ state, proved }) => state === "done" && !proved);
  const notSo = asked.filter(({ state }) => state === "not so");
  return { asked: asked.length, taken, notSo, open: asked.filter((each) => !taken.includes(each) && !notSo.includes(each)) };
};

/** What was read at the very same points earlier in this plan, "" where nothing was. */
const sameOf = (cards, card) => {
  const [line] = card.steps;
  if (card.steps.length !== 1 || line.step.kind !== "prove meter") return "";
  const earlier = cards.slice(0, cards.indexOf(card)).flatMap(({ steps }) => steps);
  const told = earlier.filter(({ step, state }) => step.kind === "prove meter" && String(step.points) === String(line.step.points) && state === "done");
  return told.length ? formatQuantity(told.at(-1).row.volt, "V") : "";
};

/** The stamp of a plan that was walked to its end, null before that. live: when power was last told of. */
export const stampOf = (plan, { lines, proof }, now, live) => {
  const read = lines.filter(({ step, row }) => step.rule && row);
  if (!read.length || lines.some(({ state }) => state !== "done" && state !== "left out")) return null;
  const times = (some) => some.map(({ row }) => row.at);
  const here = read.filter(({ step }) => step.kind === "measure");
  const at = Math.max(...times(read));
  const until = Math.min(...times(here.length ? here : read)) + plan.minutes * 60000;
  const stands = live > at ? "power on" : now > until ? "run out" : proof.open.length ? "in part" : "verified";
  return { stands, at, until, taken: proof.taken.length, asked: proof.asked };
};

/** Whether the outdoor unit runs on with the thermostat off: as seen, else as is likely. idle: what was seen, null where nothing was. */
export const keepsRunning = ({ chance, worth, runs }, runningOn, idle, bySuspect) => {
  if (idle !== null) return idle === runs;
  const odds = [...bySuspect].filter(([, share]) => share >= worth);
  const all = odds.reduce((sum, [, share]) => sum + share, 0);
  const on = odds.filter(([id]) => runningOn.includes(id)).reduce((sum, [, share]) => sum + share, 0);
  return all >= chance && on >= chance;
};
