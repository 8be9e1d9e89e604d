// Nothing wrong now: the readings that a working unit is judged by, and the end of such a call.

import { neverOnGood } from "./oddness.js";
import { begunByHeat, seenRunningOn } from "./season.js";

const LEAST_SEEN = 3;
export const NOT_STANDING_OUT = 0.5;
const AS_ON_A_GOOD_UNIT = 0.15;
const TOLD_APART = 2;
const HARMLESS_SHARE = 0.85;
export const ACQUITTED = 0.75;
export const ENOUGH_OF_PROOF = 10;
const RUNS_AMP = 1;
const FROM_OUTSIDE = new Set(["look:turns", "look:sound", "look:quiet", "look:idle", "look:turns_on_heat", "look:warm_air"]);
const WORTH_COMPARING = 0.02;

export const healthyRepair = (table) => table.suspect(table.known.healthy)?.repair ?? null;

/** Whether nothing wrong leads, or all reads as on a good unit and nothing stands out. */
export const seemsHealthy = (belief) => {
  const { table } = belief;
  const { healthy } = table.known;
  const repair = healthyRepair(table);
  if (repair === null) return false;
  const [best, most] = belief.bestRepair;
  if (best === repair) return true;
  if (belief.readings.length < LEAST_SEEN || most > NOT_STANDING_OUT) return false;
  const [before, now] = [belief.upto(0).bySuspect, belief.bySuspect];
  let risen = 0;
  for (const [name, share] of now) if (share >= WORTH_COMPARING) risen = Math.max(risen, share / before.get(name));
  const least = AS_ON_A_GOOD_UNIT * risen * before.get(healthy);
  return now.get(healthy) >= least && least > 0;
};

/** How many checks were made, beside what anyone sees and hears. */
export const checksMade = (belief) =>
  belief.readings.filter(({ check }) => !FROM_OUTSIDE.has(belief.table.checks[check].quantity)).length;

/** What is believed once what anyone sees and hears was told, before any reading. */
const asFound = (belief) => {
  const at = belief.readings.findIndex(({ check }) => !FROM_OUTSIDE.has(belief.table.checks[check].quantity));
  return belief.upto(at < 0 ? belief.readings.length : at).bySuspect;
};

/** Probability that nothing is wrong which these readings would have shown. */
export const unseen = (belief) => {
  const { healthy } = belief.table.known;
  const [before, now] = [asFound(belief), belief.bySuspect];
  const good = now.get(healthy) / before.get(healthy);
  let told = 0;
  for (const [name, share] of now) if (share >= TOLD_APART * good * before.get(name)) told += share;
  const alike = 1 - belief.noneOfThese - told - now.get(healthy);
  return now.get(healthy) + HARMLESS_SHARE * Math.max(alike, 0);
};

export const needsRunning = (card) => Boolean(card.jaw && card.red);

/** What was seen not to run, or not to go on, and has not drawn amps since. */
const standingOf = (belief) => {
  const { table } = belief;
  const standing = new Set();
  for (const { check, value } of belief.readings) {
    const card = table.checks[check];
    if (card.quantity === "look:sound" && card.choices[value] !== "running") card.touches.forEach((part) => standing.add(part));
    else if (card.quantity === "amps" && card.condition === table.known.onCall && value >= RUNS_AMP) card.touches.forEach((part) => standing.delete(part));
  }
  return standing;
};

export const stands = (belief) => standingOf(belief).size > 0;

/** See season.js. */
export const calledForHeat = ({ table, readings }) => begunByHeat(table, readings);

/** See season.js. */
export const runsOn = ({ table, readings }) => seenRunningOn(table, readings);

/** The ids of the readings that this call's unit is judged by. */
export const proofOf = (belief) => (calledForHeat(belief) ? belief.table.known.heatProof : belief.table.known.proof);

/** What the customer saw or smelled, looked for where it comes from. */
const looksOwed = ({ table, said, readings }) => {
  const owed = new Set(said.flatMap((chip) => table.known.owedTo[chip] ?? []));
  const feltCold = readings.some(({ check, value }) => {
    const card = table.checks[check];
    return card.quantity === "look:line" && card.condition === table.known.onCall && card.choices[value] === "cold";
  });
  const needless = feltCold && !said.includes("ice") && !said.includes("water") ? "look:ice" : "";
  return table.checks.filter((card) => owed.has(card.id) && card.quantity !== needless);
};

/** The volts at rest that need not be read: while all runs no less came than usual. */
const needlessAtRest = ({ table, readings }) => {
  const read = new Map(readings.map(({ check, value }) => [table.checks[check].id, value]));
  const rests = Object.entries(table.known.fullUnderLoad);
  return new Set(rests.filter(([, [load, volt]]) => (read.get(load) ?? 0) >= volt).map(([rest]) => rest));
};

/** The checks of the proof not made yet, of those in reach; see healthy_proof.py. */
export const proofLeft = (belief, allowed) => {
  const { table } = belief;
  const enough = checksMade(belief) >= ENOUGH_OF_PROOF && unseen(belief) >= ACQUITTED;
  const made = new Set(belief.readings.map(({ check }) => table.checks[check].id));
  const still = stands(belief);
  const needless = needlessAtRest(belief);
  const batch = proofOf(belief).map((id) => table.check(id)).filter((card) => !needless.has(card.id) && !(still && needsRunning(card)));
  const left = (wanted) => wanted.filter((card) => !made.has(card.id) && (!allowed || allowed.has(card.id)));
  // Readings first: of what the eye finds one in fifty is a slip.
  return !enough && left(batch).length ? left(batch) : left(looksOwed(belief));
};

const NEVER_RAN = new Set(["hums and trips", "silent"]);

/** What was read last that a good unit hardly gives; see healthy_proof.py. */
export const oddReadings = (belief) => {
  if (healthyRepair(belief.table) === null) return [];
  const standing = standingOf(belief);
  const overruled = (card, value) => card.quantity === "look:sound" && NEVER_RAN.has(card.choices[value]) && !card.touches.some((part) => standing.has(part));
  return belief.readings.filter((reading) => !overruled(belief.table.checks[reading.check], reading.value) && neverOnGood(belief, reading));
};

/** The first of these that was taken only once, of those in reach. */
export const readAgain = (belief, allowed) => {
  const { checks } = belief.table;
  const odd = oddReadings(belief).find(({ check, times }) => times === 1 && (!allowed || allowed.has(checks[check].id)));
  return odd ? checks[odd.check] : null;
};
