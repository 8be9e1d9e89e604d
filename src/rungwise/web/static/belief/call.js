// A call that was taken along: its readings, those that wait on this phone too, and its answer.

import { nextCheck } from "./advice.js";
import { Belief } from "./belief.js";
import { verdict } from "./verdict.js";

/** What a meter's unit is worth in the first of its kind. */
const WORTH = { V: 1, mV: 1e-3, A: 1, mA: 1e-3, Ω: 1, kΩ: 1e3, MΩ: 1e6, GΩ: 1e9, µF: 1 };
const NUMBER = /^([-+]?)(\d+(?:[.,]\d*)?|[.,]\d+) ?([A-Za-zΩµ]*)$/;
const EITHER = /^[1-9]\d{0,2},\d{3}$/; // a comma that may part thousands
const NOT_TAKEN = new Set(["-", "can't reach"]);

/** The value of what was typed: a number, Infinity, a choice's number; null: not taken; undefined: not read here. */
export const valueOf = (card, typed, unit, quick) => {
  const said = (quick || typed || "").trim();
  if (NOT_TAKEN.has(said)) return null;
  if (card.form === "choice") {
    const at = card.choices.findIndex((each) => each.toLowerCase() === said.toLowerCase());
    return at < 0 ? undefined : at;
  }
  if (/^ol$/i.test(said)) return card.unit.endsWith("Ω") || card.unit === "µF" ? Infinity : undefined;
  const found = NUMBER.exec(said.replace("−", "-"));
  if (!found || EITHER.test(found[2])) return undefined;
  const own = found[3] || unit || card.unit;
  const number = Number(found[1] + found[2].replace(",", "."));
  if (own === card.unit) return number;
  if (!(own in WORTH) || !(card.unit in WORTH) || own.slice(-1) !== card.unit.slice(-1)) return undefined;
  return Number(((number * WORTH[own]) / WORTH[card.unit]).toPrecision(14));
};

/** Readings of the records with those that wait put on top; entries: what was sent, oldest first. */
const together = (table, state, entries) => {
  const taken = new Map();
  const before = []; // what a check read before it was made once more, which stands too
  const take = (id, value, again) => {
    if (again && taken.has(id)) before.push([id, taken.get(id)]);
    taken.set(id, value);
  };
  for (const [id, value] of state.readings) take(id, value === "OL" ? Infinity : value, true);
  const uncounted = [];
  for (const { check, typed = "", unit, quick, again } of entries) {
    if (!table.has(check)) continue;
    const value = valueOf(table.check(check), typed, unit, quick);
    if (value === undefined) uncounted.push(check);
    else take(check, value, again === "true");
  }
  return { taken, before, uncounted };
};

/** Answer of a call: { belief, verdict, advice, asked, decided, uncounted }. */
export const answered = (model, state, entries, { free, skipped = [], chosen = null }) => {
  const { table } = model;
  const { taken, before, uncounted } = together(table, state, entries);
  let belief = Belief.start(model, state.weights, state.said);
  const away = new Set(skipped);
  for (const [id, value] of before) if (value !== null) belief = belief.observe(id, value);
  for (const [id, value] of taken) {
    if (value === null) away.add(id);
    else belief = belief.observe(id, value);
  }
  const allowed = new Set(table.checks.map((card) => card.id).filter((id) => !away.has(id)));
  const found = verdict(belief, { suspected: state.suspected, allowed });
  const advice = nextCheck(belief, { allowed });
  const decided = ["found", "suspected", "nothing_wrong_now"].includes(found.kind) && (found.kind === "found" || advice.stop);
  const symptom = [...taken.keys()].every((id) => free.includes(id)) ? free.find((id) => !taken.has(id) && !skipped.includes(id)) : null;
  const advised = advice.stop || decided ? null : advice.candidates[0].check.id;
  return { belief, verdict: found, advice, decided, uncounted, asked: chosen ?? symptom ?? advised };
};
