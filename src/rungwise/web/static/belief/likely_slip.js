// Which reading is likely a slip of the hand, and is taken again at once.

import { OFF_BY, moves } from "./hand_slips.js";
import { logAddExp } from "./numbers.js";

const PLAIN_SD = 0.15;
const PLAIN_OFF = 2;
const NO_GOOD = 6;
const WORTH_ANOTHER_LOOK = 0.2;
const LIKELIER = 0.9;
const DIGITS = 9;

const rounded = (value) => Math.round(value * 10 ** DIGITS);
const expit = (x) => 1 / (1 + Math.exp(-x));

/** Place of the likeliest slip among readings not yet taken again; null where none is likely. */
export const likelySlip = (belief) => {
  let best = null;
  for (const each of slips(belief)) {
    if (belief.readings[each.place].times > 1 || each.probability < (each.named ? WORTH_ANOTHER_LOOK : LIKELIER)) continue;
    if (best === null || rounded(each.probability) > rounded(best.probability)) best = each;
  }
  return best === null ? plain(belief) : best.place;
};

/** Place of the first reading that in another unit of the meter is just what a good unit reads. */
const plain = ({ model, table, readings }) => {
  const good = table.rows[table.suspectIndex(table.known.healthy)];
  if (!good) return null;
  const place = readings.findIndex((reading) => {
    const { check, value, times } = reading;
    if (table.checks[check].setting !== "apart" || times > 1 || !model.isNumber(reading)) return false;
    const nearest = (factor) => Math.min(...good.map((row) => Math.abs(model.ofReading(check, factor * value) - model.z[check][row]) / model.spread(row, check)));
    if (!good.every((row) => Number.isFinite(model.z[check][row]) && model.spread(row, check) <= PLAIN_SD)) return false;
    return nearest(1) >= NO_GOOD && OFF_BY.some(([factor]) => (factor < 0.1 || factor > 10) && nearest(factor) <= PLAIN_OFF);
  });
  return place < 0 ? null : place;
};

const slips = (belief) => {
  const { model, readings } = belief;
  const [weight] = belief.particleWeight;
  const ways = model.labelings(readings);
  const logs = ways.map(({ share, readings: really }) => model.logAs(really).map((each) => Math.log(share) + each));
  const whole = logs.reduce((a, b) => a.map((each, row) => logAddExp(each, b[row])));
  const shares = logs.map((log) => log.map((each, row) => weight[row] * Math.exp(each - (Number.isFinite(whole[row]) ? whole[row] : 0))));
  const found = [];
  const read = new Set(readings.map(({ check }) => check));
  ways.slice(1).forEach(({ of, first }, at) => {
    const once = [...readings.keys()].filter((place) => moves(of, readings[place].check) && readings[place].times < 2);
    if (once.length && first.every((each) => read.has(each))) found.push({ place: once[once.length - 1], probability: shares[at + 1].reduce((a, b) => a + b, 0), named: true });
  });
  return [...found, ...ofNumbers(belief, shares[0])];
};

/** Slips of single numbers; weight: of each particle with the readings as told. */
const ofNumbers = ({ model, readings }, weight) => {
  const joint = model.joint(readings);
  if (!joint) return [];
  const numbers = [...readings.keys()].filter((at) => model.isNumber(readings[at]));
  return numbers.flatMap((place, column) => {
    const slipped = weight.map((each, row) => {
      let others = 0;
      for (let i = 0; i < joint.d; i += 1) if (i !== column) others = logAddExp(others, joint.logSlipOdds(row, i));
      return each * expit(joint.logSlipOdds(row, column) - others);
    });
    const whole = slipped.reduce((a, b) => a + b, 0);
    if (whole < WORTH_ANOTHER_LOOK) return [];
    const named = OFF_BY.map((_, way) => slipped.reduce((total, each, row) => total + each * model.slipShare(way, readings[place], row), 0));
    const most = Math.max(...named);
    return [most >= 0.5 * whole ? { place, probability: most, named: true } : { place, probability: whole, named: false }];
  });
};
