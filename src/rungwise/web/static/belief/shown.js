// Whether a fault is shown by a reading on the accused part, or only suspected.

import { Belief } from "./belief.js";
import { expectedBand } from "./band.js";
import { healthyRepair, needsRunning, stands } from "./healthy.js";
import { round, sum } from "./numbers.js";
import { sortedBy } from "./prices.js";

const SPEAKS_FOR_NATS = Math.log(3);
export const DEAR_MINUTES = 300;
const LEFT_ALONE = 0.9;
const PART_MINUTES = 90;
const UNREAD_ENOUGH = 0.97;
const PLAIN_DROP_VOLT = 2;
const CARRIES_AMP = 1;
const LEAST_AMP = 0.3;
const SHARE_IN_REPAIR = 0.1;
const MOST_RIVALS = 8;
const NEAR_RIVALS = 2;
const LEAST_RIVAL = 0.01;
const MOST_NATS = 50;
const TELLS = 0.7;

export const readsDirectly = (card, suspect) => suspect.shown_by.includes(card.quantity) && card.touches.includes(suspect.part);
export const isGhostly = (card) => card.quantity === "ghost";
export const mostLikelySuspect = (belief, repair) => belief.table.suspects[belief.bestOfRepair[belief.table.byRepair.index(repair)]];

/** The suspects that the repair is about, those with a fair share of its probability. */
const accusedOf = (belief, repair) => {
  const members = belief.table.suspects.filter((each) => each.repair === repair);
  const share = (each) => belief.bySuspect.get(each.id);
  const most = sum(members.map(share));
  return members.filter((each) => share(each) >= SHARE_IN_REPAIR * most);
};

const direct = (belief, accused, allowed) => belief.table.checks.filter((card) => (!allowed || allowed.has(card.id)) && accused.some((each) => readsDirectly(card, each)));

const leftAlone = (belief, accused) => {
  const parts = belief.table.byPart;
  const believed = belief.posterior(parts);
  return accused.some((each) => believed[parts.index(each.part)] >= LEFT_ALONE);
};

/** Whether the fault that a repair puts right is shown. */
export const showing = (belief, repair, allowed) => {
  const accused = accusedOf(belief, repair);
  if (accused.some((suspect) => belief.readings.some((_, place) => shows(belief, place, suspect)))) return true;
  const best = mostLikelySuspect(belief, repair);
  if (best.shown_by.length && best.wrong_minutes >= DEAR_MINUTES) return false;
  return !direct(belief, accused, allowed).length && leftAlone(belief, accused);
};

/** Whether a dear part is accused that was not read on itself and cannot be any more. */
const outOfReach = (belief, repair, suspect, allowed) => suspect.shown_by.length > 0 && suspect.wrong_minutes >= PART_MINUTES && !direct(belief, accusedOf(belief, repair), allowed).length;

/** Whether a repair may be named. */
export const sureEnough = (belief, repair, prices, allowed) => {
  const suspect = mostLikelySuspect(belief, repair);
  const share = belief.byRepair.get(repair);
  if (!suspect.is_effect && outOfReach(belief, repair, suspect, allowed)) return share >= Math.max(UNREAD_ENOUGH, prices.enoughProbability);
  if (share >= prices.enoughProbability || !suspect.is_effect) return share >= prices.enoughProbability;
  let together = 0;
  for (const [name, each] of belief.bySuspect) {
    const card = belief.table.suspect(name);
    if (suspect.id === card.cause_of || card.part === suspect.part) together += each;
  }
  return together >= prices.enoughProbability && showing(belief, repair, allowed);
};

/** How many readings were taken on the accused part, of what shows its fault. */
export const readCount = (belief, repair) => readOn(belief, repair).length;

/** Whether a meter was among them; a look that found nothing does not settle a part. */
export const metered = (belief, repair) => readOn(belief, repair).some((card) => card.form === "number");

const readOn = (belief, repair) => {
  const accused = accusedOf(belief, repair);
  const cards = belief.readings.map(({ check }) => belief.table.checks[check]);
  return cards.filter((card) => accused.some((each) => readsDirectly(card, each)));
};

/** The cheapest check not yet made whose reading would show the fault, or clear the part. */
export const decidingCheck = (belief, repair, price, allowed) => {
  const made = new Set(belief.readings.map(({ check }) => belief.table.checks[check].id));
  const still = stands(belief);
  const open = direct(belief, accusedOf(belief, repair), allowed).filter((card) => !made.has(card.id) && !(still && needsRunning(card)));
  return sortedBy(open, (card) => [price(card), card.live ? 1 : 0]).find((card) => tells(belief, card, repair)) ?? null;
};

/** What a check reads where the repair is due and where the part is good: { check, go, stop }. */
export const confirmation = (belief, card, repair) => {
  const alone = aloneWith(belief, accusedOf(belief, repair));
  const spans = (name) => (name ? expectedBand(alone, card.id, name).spans.map(([low, high]) => [low, high]) : []);
  const [fault, good] = [spans(repair), spans(healthyRepair(belief.table))];
  if (card.form === "choice") return { check: card, go: fault.filter((span) => !good.some((each) => same(each, span))), stop: good };
  const stop = good.map((span) => tidy(span, card.quantity === "drop"));
  const sides = fault.map((span) => side(tidy(span), stop)).filter((each) => each && !stop.some((it) => same(it, each)));
  const go = sortedBy(sides, (each) => each).filter((each, at, all) => !at || !same(each, all[at - 1]));
  return { check: card, go, stop };
};

const same = (one, other) => one[0] === other[0] && one[1] === other[1];

/** Whether a reading can clear or accuse anything by itself. */
export const bearsWeight = (belief, place) => {
  const reading = belief.readings[place];
  const card = belief.table.checks[reading.check];
  if (isGhostly(card)) return false;
  const small = card.instrument === belief.table.known.fineVolts && Math.abs(reading.value) < PLAIN_DROP_VOLT;
  return !small || carries(belief, card);
};

/** Whether a reading on the suspect's own part accuses it, against a good one and its rivals. */
export const shows = (belief, place, suspect) => {
  const { check, value } = belief.readings[place];
  const card = belief.table.checks[check];
  if (!readsDirectly(card, suspect) || !bearsWeight(belief, place)) return false;
  if (card.unit === "A" && value < LEAST_AMP) return false;
  if (card.live && card.unit === "µF" && value === 0) return false;
  if (healthyRepair(belief.table) === null) return false;
  if (belief.logRatio(suspect.id, place, belief.table.known.healthy) < SPEAKS_FOR_NATS) return false;
  return suspect.is_effect || againstRivals(belief, place, suspect) >= SPEAKS_FOR_NATS;
};

const againstRivals = (belief, place, suspect) => {
  const rivals = rivalsOf(belief.upto(place), suspect);
  if (!rivals.length) return Infinity;
  const worse = sum(rivals.map(([name, share]) => share * Math.exp(Math.min(-belief.logRatio(suspect.id, place, name), MOST_NATS))));
  return -Math.log(Math.max(worse / sum(rivals.map(([, share]) => share)), Math.exp(-MOST_NATS)));
};

const rivalsOf = (belief, suspect) => {
  const found = [];
  for (const [name, share] of belief.bySuspect) {
    if (found.length === MOST_RIVALS || share < LEAST_RIVAL) break;
    const card = belief.table.suspect(name);
    if (card.part !== suspect.part && card.cause_of !== suspect.id) found.push([name, share]);
  }
  return found;
};

const ampsOnCall = (card, belief) => ["amps", "held_amps"].includes(card.quantity) && card.condition === belief.table.known.onCall;

const carries = (belief, drop) => {
  const { table } = belief;
  const meets = (card) => card.touches.some((each) => drop.touches.includes(each));
  const own = new Set(table.checks.filter((card) => ampsOnCall(card, belief) && meets(card)).map((card) => card.id));
  return belief.readings.some(({ check, value }) => {
    const card = table.checks[check];
    return ampsOnCall(card, belief) && (!own.size || own.has(card.id)) && value >= CARRIES_AMP;
  });
};

const tells = (belief, card, repair) => {
  const { table } = belief;
  const suspect = mostLikelySuspect(belief, repair);
  const near = rivalsOf(belief, suspect).map(([name]) => table.suspect(name)).filter((each) => each.repair !== repair).slice(0, NEAR_RIVALS);
  const alone = aloneWith(belief, [suspect, ...near]);
  const fault = expectedBand(alone, card.id, repair);
  const others = new Set([...near, ...healthyOf(table)].map((each) => each.repair));
  return [...others].every((other) => apart(fault, expectedBand(alone, card.id, other)) >= TELLS);
};

const healthyOf = (table) => table.suspects.filter((each) => each.id === table.known.healthy);

/** The belief before any reading in which only these suspects and the good unit are left. */
const aloneWith = (belief, suspects) => {
  const kept = new Set([...suspects, ...healthyOf(belief.table)].map((each) => each.id));
  return Belief.start(belief.model, Object.fromEntries(belief.table.suspects.map((each) => [each.id, kept.has(each.id) ? 1 : 0])));
};

const apart = (fault, other) => sum(fault.spans.filter(([low, high]) => !other.spans.some(([bottom, top]) => low <= top && bottom <= high)).map((span) => span[2]));

const tidy = ([low, high], fromNothing = false) => {
  const [a, b] = [twoDigits(low), twoDigits(high)];
  return [(fromNothing || a <= 0) && b > a ? -Infinity : a, b];
};

const twoDigits = (value) => {
  if (!Number.isFinite(value) || value === 0) return value;
  return round(value, (Math.abs(value) < 100 ? 1 : 2) - Math.floor(Math.log10(Math.abs(value))));
};

const side = ([low, high], good) => {
  const finite = good.filter((each) => each[1] < Infinity);
  if (low === Infinity) return [low, high];
  if (!finite.length) return [-Infinity, high];
  const bottom = Math.min(...finite.map((each) => each[0]));
  const top = Math.max(...finite.map((each) => each[1]));
  if (high <= bottom) return [-Infinity, halfway(high, bottom)];
  return low >= top ? [halfway(top, low), Infinity] : null;
};

const halfway = (near, far) => {
  const middle = near > 0 ? Math.sqrt(near * far) : 0.5 * far;
  return Math.min(Math.max(twoDigits(middle), near), far);
};
