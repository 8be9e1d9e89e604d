// What the season of a call says: on a call for heat, what rests until summer is not the matter.

import { logSum } from "./numbers.js";

const THERE_BY_CHANCE = 0.02;

/** Whether the call began with what was seen on a call for heat: it is cold outdoors. */
export const begunByHeat = (table, readings) => readings.length > 0 && table.checks[readings[0].check].condition === table.known.onHeat;

/** Whether something was seen to run with the thermostat off: that is looked into in any air. */
export const seenRunningOn = (table, readings) => readings.some(({ check, value }) => table.checks[check].quantity === "look:idle" && value > 0);

/** The prior of every particle, nats, once the season of the call is known. */
export const inSeason = (table, logPrior, readings) => {
  if (!begunByHeat(table, readings) || seenRunningOn(table, readings)) return logPrior;
  const names = new Set(table.known.atRest);
  if (!names.size) return logPrior;
  const rests = table.suspects.map(({ id }) => names.has(id));
  const moved = logPrior.map((each, at) => each + (rests[table.suspectOf[at]] ? Math.log(THERE_BY_CHANCE) : 0));
  const kept = logSum(logPrior) - logSum(moved);
  return moved.map((each) => each + kept);
};
