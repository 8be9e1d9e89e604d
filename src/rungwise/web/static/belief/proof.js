// The test of a repair without signal: what was read, how it stands by the limits that came along,
// and what is next. The server's own is web/pages/proof and verification.

import { valueOf } from "./call.js";

const number = (limit) => (limit === "inf" ? Infinity : limit === "-inf" ? -Infinity : limit);

/** Where a reading stands: "good", "caution", "again" or "refuse"; a look by the number of its choice. */
export const levelOf = ({ spans, choices, wrong }, value) => {
  if (choices.includes(value)) return "good";
  const span = spans.find(([low, high]) => number(low) <= value && value <= number(high));
  return span ? span[2] : wrong;
};

/** Everything that was read and ticked, oldest first: { check, said, at } or { step, done, at }. */
export const eventsAfter = (state, entries, checks) => {
  let all = [...state.readings.map(({ check, typed, at }) => ({ check, said: typed, unit: "", at })), ...state.ticks.map((step) => ({ step, done: true, at: 0 }))];
  for (const { path, fields, at } of entries) {
    if (path === "/proof/readings") {
      const load = fields.get("amps") && fields.get("volts") ? `${fields.get("amps")} A, ${fields.get("volts")} V` : "";
      all.push({ check: fields.get("check"), said: (fields.get("quick") || fields.get("typed") || load).trim(), unit: fields.get("unit") ?? "", at });
    } else if (path === "/proof/looks") {
      for (const check of fields.getAll("check")) all.push({ check, said: checks[check]?.choices[checks[check].limits.choices[0]] ?? "", unit: "", good: true, at });
    } else if (path === "/proof/start") {
      for (const step of fields.getAll("step")) all.push({ step: Number(step), done: (fields.get("done") ?? "true") === "true", at });
    } else if (path === "/proof/undo") {
      const last = Math.max(...all.map((each) => each.at));
      all = all.filter((each) => each.at !== last);
    }
  }
  return all.filter(({ said }) => said !== "");
};

/** Of each check how its last reading stands, and which steps of the first start are ticked. */
export const standingOf = (events, checks) => {
  const [readings, ticked] = [new Map(), new Set()];
  for (const { check, said, unit, step, done, good, at } of events) {
    if (step !== undefined) { if (done) ticked.add(step); else ticked.delete(step); continue; }
    const card = checks[check];
    if (!card) continue;
    const value = valueOf(card, said, unit, "");
    let level = value === null ? "left out" : value === undefined || !card.limits ? "kept" : levelOf(card.limits, value);
    if (good) level = "good";
    const before = readings.get(check);
    if (level === "again" && ["again", "refuse"].includes(before?.level)) level = "refuse";
    readings.set(check, { check, value, said, level, at });
  }
  return { readings, ticked };
};

/** The one thing that is next: { doing: "start" | "looks" | "check" | "end", ... }. asked: another check to show. */
export const nextOf = (along, starts, { readings, ticked }, asked = "") => {
  const had = (id) => readings.has(id) && readings.get(id).level !== "again";
  if ([...readings.values()].some(({ level }) => level === "refuse")) return { doing: "end", end: "refused" };
  if (asked && along.checks[asked] && !had(asked)) return { doing: "check", id: asked };
  for (const way of along.ways) {
    if (way.doing === "start" && !starts[way.at].steps.every((step) => ticked.has(step))) return { doing: "start", at: way.at };
    if (way.doing === "check" && !had(way.id)) return { doing: "check", id: way.id };
    if (way.doing === "looks") {
      const left = way.ids.filter((id) => !had(id));
      if (left.length === way.ids.length) return { doing: "looks", html: way.html };
      if (left.length) return { doing: "check", id: left[0] };
    }
  }
  const some = [...readings.values()].some(({ level }) => level !== "good" && level !== "caution");
  return { doing: "end", end: some ? "some" : "read" };
};
