// What stands behind an effect, and the readings owed before it is put back.

import { ranked } from "./numbers.js";
import { decidingCheck, mostLikelySuspect, sureEnough } from "./shown.js";

const WORTH_NAMING = 0.002;
const WORTH_ASKING = 0.02;
const WORTH_CLEARING = 0.05;
const MOST_CAUSES = 3;
const LIVE_LATER = 1000;
const LOW_SHARE = 0.88;
const STARVED_SHARE = 0.79;

/** The checks still to be made before a repair may be advised, first to be made first. */
export const owedChecks = (belief, suspect, allowed) => {
  const { table } = belief;
  const made = new Set(belief.readings.map(({ check }) => table.checks[check].id));
  const wanted = [...new Set(wantedFor(belief, suspect, allowed))];
  return wanted.filter((id) => !made.has(id) && (!allowed || allowed.has(id))).map((id) => table.check(id));
};

/** What may have brought an effect about, with its probability, likeliest first. */
export const causesBehind = (belief, effect) => {
  const share = (id) => belief.bySuspect.get(id);
  const causes = (belief.table.known.causes[effect.id] ?? []).filter((id) => share(id) >= WORTH_NAMING);
  return ranked(causes.map(share)).slice(0, MOST_CAUSES).map((at) => [belief.table.suspect(causes[at]), share(causes[at])]);
};

const wantedFor = (belief, suspect, allowed) => {
  const { owed, asks } = belief.table.known;
  return [suspect, ...notToldFrom(belief, suspect)].flatMap((each) => [
    ...(owed[each.id] ?? []),
    ...ofFansBehind(belief, each),
    ...voltsBesideAmps(belief, each),
    ...restBesideSag(belief, each),
    ...(asks.includes(each.id) ? onCauses(belief, each, allowed) : []),
  ]);
};

/** What clears the fans, unless the switch is open with the pressure down, and so bad itself. */
const ofFansBehind = ({ table, readings }, { id }) => {
  const atRest = table.known.badAtRest[id] ?? [];
  const made = readings.some(({ check }) => atRest.includes(table.checks[check].id));
  return made ? [] : table.known.fans[id] ?? [];
};

/** Effects of a part that stays in which its readings have left likely: off, or tripped. */
const notToldFrom = (belief, suspect) => {
  if (suspect.repair === `${suspect.part}:replace`) return [];
  const effects = belief.table.suspects.filter((each) => each.part === suspect.part && each.is_effect && each.id !== suspect.id);
  return effects.filter(({ id }) => belief.bySuspect.get(id) >= WORTH_CLEARING);
};

const onCauses = (belief, suspect, allowed) => {
  const found = [];
  for (const [cause, believed] of causesBehind(belief, suspect)) {
    if (believed < WORTH_ASKING || cause.repair === suspect.repair) continue;
    const card = decidingCheck(belief, cause.repair, deadFirst(belief.table.known), allowed);
    if (card) found.push(card.id);
  }
  return found;
};

/** The volts at a compressor's own poles in the setting in which its amps were read last. */
const voltsBesideAmps = (belief, suspect) => {
  const settings = belief.table.known.volts[suspect.id] ?? {};
  const cards = [...belief.readings].reverse().map(({ check }) => belief.table.checks[check]);
  const last = cards.find((card) => card.jaw && !card.red && card.touches.includes(suspect.part) && card.setting in settings);
  if (!last) return [];
  const pairs = settings[last.setting];
  const made = new Set(cards.map(({ id }) => id));
  const open = pairs.filter((id) => !made.has(id));
  return open.slice(0, Math.max(open.length - Math.floor(pairs.length / 3), 0));
};

/** The volts at rest, where those at a compressor's poles were low as it started. */
const restBesideSag = ({ table, readings }, suspect) => {
  const low = table.known.sags[suspect.id] ?? {};
  return readings.flatMap(({ check, value }) => {
    const [usual, atRest] = low[table.checks[check].id] ?? [-Infinity, []];
    return value < LOW_SHARE * usual ? atRest : [];
  });
};

/** Whether a repair is sure enough, and no compressor that stood for want of volts alone. */
export const mayBeNamed = (belief, repair, prices, allowed) =>
  sureEnough(belief, repair, prices, allowed) && !starved(belief, mostLikelySuspect(belief, repair));

const starved = ({ table, readings }, suspect) => {
  const low = table.known.sags[suspect.id] ?? {};
  return readings.some(({ check, value }) => {
    const [usual] = low[table.checks[check].id] ?? [-Infinity];
    return value < STARVED_SHARE * usual;
  });
};

const deadFirst = ({ dead }) => (card) => card.minutes + (card.condition === dead ? 0 : LIVE_LATER);
