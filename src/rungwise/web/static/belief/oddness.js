// How well readings fit what is believed, and which of them cannot be right together.

import { healthyRepair } from "./healthy.js";
import { likelySlip } from "./likely_slip.js";
import { argsort, chdtrc, ndtr } from "./numbers.js";
import { DEAR_MINUTES, bearsWeight, mostLikelySuspect, readsDirectly, shows } from "./shown.js";

const NEVER = 1e-4;
const CHOICE_NEVER = 0.02;
const ODD_LOOK = 0.1;
const TOGETHER_NEVER = 1e-4;
const ALONE_FITS = 0.01;
const TIE_DIGITS = 6;
const ODD = 0.01;
const LIKELY_ANYWAY = 0.5;
const OVERLOOKED = 0.03;
const MOST_TRIED = 3;

const most = (values) => values.reduce((a, b) => (b > a || Number.isNaN(b) ? b : a), -Infinity);

const tailAlone = (belief, reading) => {
  const { model, table } = belief;
  const at = reading.check;
  if (model.isChoice(at)) {
    const chance = table.choice[at];
    return chance[reading.value].map((own, row) => {
      let total = 0;
      for (const each of chance) if (each[row] <= own + 1e-12) total += each[row];
      return total;
    });
  }
  if (!Number.isFinite(reading.value)) return model.logAlone(reading).map(Math.exp);
  const z = model.ofReading(at, reading.value);
  return model.z[at].map((middle, row) => {
    const off = (z - middle) / model.spread(row, at);
    return Number.isNaN(off) ? 1 : 2 * ndtr(-Math.abs(off));
  });
};

const tailTogether = (belief, one, other, alone) => {
  const pair = [belief.readings[one], belief.readings[other]];
  if (!pair.every((each) => belief.model.isNumber(each))) return alone[one].map((each, row) => Math.min(each, alone[other][row]));
  const joint = belief.model.joint(pair);
  return Float64Array.from({ length: joint.n }, (_, row) => {
    if (joint.middle.some((column) => column[row] === Infinity)) return 0;
    const [distance, made] = joint.distance(row);
    return chdtrc(Math.max(made, 1), distance);
  });
};

/** Chance of each reading being as far off as it is or further, under what all leave believed. */
export const fits = (belief) => {
  const [raw] = belief.particleWeight;
  const whole = raw.reduce((a, b) => a + b, 0);
  const joint = belief.model.joint(belief.readings);
  let at = 0;
  return belief.readings.map((reading) => {
    let tail;
    if (belief.model.isNumber(reading)) { tail = joint.tails(at); at += 1; } else tail = tailAlone(belief, reading);
    return raw.reduce((total, each, row) => total + (each / whole) * tail[row], 0);
  });
};

/** Whether no hypothesis at all gives a reading, whatever else was read. */
export const isImpossible = (belief, place) => {
  const reading = belief.readings[place];
  return most(tailAlone(belief, reading)) < (belief.model.isNumber(reading) ? NEVER : CHOICE_NEVER);
};

/** Whether a good unit hardly gives a reading, whatever else was read. */
export const neverOnGood = (belief, reading) => {
  const { table } = belief;
  const good = table.rows[table.suspectIndex(table.known.healthy)];
  if (!good) return false;
  if (table.checks[reading.check].form === "choice") {
    const chance = table.choice[reading.check][reading.value];
    return good.reduce((sum, row) => sum + chance[row], 0) / good.length < ODD_LOOK;
  }
  const tail = tailAlone(belief, reading);
  return most([...good].map((row) => tail[row])) < NEVER;
};

export const impossible = (belief) => [...belief.readings.keys()].filter((at) => isImpossible(belief, at));

/** Pairs of readings that no hypothesis gives together, though each alone; the worst first. */
export const clashes = (belief) => {
  const alone = belief.readings.map((reading) => tailAlone(belief, reading));
  const highest = alone.map(most);
  const found = [];
  for (let one = 0; one < alone.length; one += 1) {
    for (let other = one + 1; other < alone.length; other += 1) {
      if (Math.min(highest[one], highest[other]) < ALONE_FITS) continue;
      const together = most(tailTogether(belief, one, other, alone));
      if (together < TOGETHER_NEVER) found.push([Number(together.toExponential(TIE_DIGITS)), one, other]);
    }
  }
  return found.sort((a, b) => a[0] - b[0] || a[1] - b[1] || a[2] - b[2]).map(([, one, other]) => [one, other]);
};

const flagged = (belief) => {
  const found = fits(belief);
  for (const at of impossible(belief)) found[at] = 0;
  return argsort(found).filter((at) => found[at] < ODD);
};

const DENIES_NATS = Math.log(20);

/** Whether a meter on the accused part shows a good one. */
const denies = (belief, place, repair) => {
  const { table } = belief;
  const suspect = mostLikelySuspect(belief, repair);
  const card = table.checks[belief.readings[place].check];
  if (suspect.is_effect || card.form !== "number" || !readsDirectly(card, suspect)) return false;
  if (healthyRepair(table) === null || suspect.id === table.known.healthy || !bearsWeight(belief, place)) return false;
  return belief.logRatio(suspect.id, place, table.known.healthy) <= -DENIES_NATS;
};

/** Place of the one look that accuses a dear part which no meter on it accuses as well; -1 if none. */
const byEyeAlone = (belief, repair) => {
  const suspect = mostLikelySuspect(belief, repair);
  if (suspect.is_effect || suspect.wrong_minutes < DEAR_MINUTES) return -1;
  const showing = belief.readings.map((_, at) => at).filter((at) => shows(belief, at, suspect));
  const more = showing.some((at) => belief.readings[at].times > 1 || belief.table.checks[belief.readings[at].check].form === "number");
  if (more || !showing.length) return -1;
  const taken = belief.readings.map(({ check }) => belief.table.checks[check]);
  const read = taken.some((card) => card.form === "number" && card.touches.includes(suspect.part));
  return read && probabilityWithout(belief, showing[0], repair) >= LIKELY_ANYWAY ? -1 : showing[0];
};

const probabilityWithout = (belief, place, repair) => {
  const { table } = belief;
  const wanted = table.byRepair.index(repair);
  return belief.weightWithout(place).reduce((total, each, row) => total + (table.byRepair.of[table.suspectOf[row]] === wanted ? each : 0), 0);
};

/** Place of the one reading on a cold shell by which alone a dear part is accused; -1 if none. */
const byOneWait = (belief, repair) => {
  const suspect = mostLikelySuspect(belief, repair);
  if (suspect.is_effect || suspect.wrong_minutes < DEAR_MINUTES) return -1;
  const showing = belief.readings.map((_, at) => at).filter((at) => shows(belief, at, suspect));
  if (showing.length !== 1 || belief.readings[showing[0]].times > 1) return -1;
  return belief.table.checks[belief.readings[showing[0]].check].setting === "cooled" ? showing[0] : -1;
};

/** Place of a look, taken once, that the answer takes for a slip of the eye; -1 if there is none. */
const overlooked = (belief, repair) => {
  const { table } = belief;
  const wanted = table.byRepair.index(repair);
  const [weight] = belief.particleWeight;
  const mine = [...weight.keys()].filter((row) => table.byRepair.of[table.suspectOf[row]] === wanted);
  const whole = mine.reduce((total, row) => total + weight[row], 0);
  return belief.readings.findIndex(({ check, value, times }) => {
    if (table.checks[check].form !== "choice" || times > 1) return false;
    const chance = table.choice[check][value];
    return mine.reduce((total, row) => total + weight[row] * chance[row], 0) < OVERLOOKED * whole;
  });
};

/** Place of a reading that the answer cannot stand on as it is; null if there is none. */
export const leansOn = (belief, repair, enough) => {
  const denied = belief.readings.findIndex(({ times }, at) => times < 2 && denies(belief, at, repair));
  if (denied >= 0) return denied;
  const seen = byEyeAlone(belief, repair);
  if (seen >= 0) return seen;
  const waited = byOneWait(belief, repair);
  if (waited >= 0) return waited;
  const left = overlooked(belief, repair);
  if (left >= 0) return left;
  const slip = likelySlip(belief);
  if (slip !== null && probabilityWithout(belief, slip, repair) < enough) return slip;
  const doubtful = flagged(belief).filter((at) => belief.readings[at].times < 2).slice(0, MOST_TRIED);
  const dear = mostLikelySuspect(belief, repair).wrong_minutes >= DEAR_MINUTES;
  return doubtful.find((at) => dear || probabilityWithout(belief, at, repair) < enough) ?? null;
};
