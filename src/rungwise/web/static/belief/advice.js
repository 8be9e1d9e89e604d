// Which check to make next, and when to stop measuring.

import { mayBeNamed, owedChecks } from "./behind.js";
import { ACQUITTED, calledForHeat, checksMade, needsRunning, oddReadings, proofLeft, readAgain, runsOn, seemsHealthy, stands, unseen } from "./healthy.js";
import { likelySlip } from "./likely_slip.js";
import { LookAhead } from "./look_ahead.js";
import { leansOn } from "./oddness.js";
import { Outlook } from "./outlook.js";
import { Prices, byCost, byRank, candidate, loss, sortedBy } from "./prices.js";
import { decidingCheck, isGhostly, metered, mostLikelySuspect, readCount, readsDirectly, showing } from "./shown.js";

const ROUGH_PARTICLES = 2000;
const FULL_CHECKS = 32;
const MOST_READINGS = 25;
const WORTH_SHOWING = 0.15;
const READ_MINUTES = 100;
const LIKELY = 0.5;
const MOST_DIRECT = 6;
const MOST_OF_HEALTHY = 8;
const MOST_STILL_OPEN = 12;
const TELLS_ANYTHING = 0.002;
const TELLS_AN_EYE = 0.15;
const TELLS_MUCH = 0.3;
const NEARLY = 0.8;
const TELLS_ALONE = 0.1;
const FIRST_BY_RATE = 6;
const DECISIVE = 2;

export const WHY = {
  SURE: "sure enough to act",
  NOTHING_LEFT: "nothing left that would tell",
  WORTH_MEASURING: "worth measuring",
  SHOW_FIRST: "a reading on the part itself comes first",
  OWED_FIRST: "a reading owed before the repair comes first",
  AGAIN: "the answer rests on a reading to take again",
  SLIP: "a reading that is likely a slip",
  PROOF: "the proof that nothing is wrong",
  PROVED: "nothing wrong now",
  ENOUGH_MEASURED: "as many readings as a call is worth",
};

/** { stop, why, actCost, openBits, candidates }; candidates best first. */
export const nextCheck = (belief, { prices = new Prices(belief.table.known), allowed = null, lookAhead = true } = {}) => {
  const call = new Call(belief, prices, allowed);
  if (belief.readings.length >= MOST_READINGS) return call.stopping(WHY.ENOUGH_MEASURED);
  const slip = call.sure ? null : slipped(call);
  if (slip) return slip;
  if (seemsHealthy(belief)) return ofHealthy(call);
  if (call.sure) return owed(call) ?? sure(call);
  return unsure(call, lookAhead);
};

const lastSetUp = (belief) => [...belief.readings].reverse().map(({ check }) => belief.table.checks[check]).find((card) => card.condition !== belief.table.known.looking) ?? null;

const openChecks = (belief, allowed) => {
  const made = new Set(belief.readings.map((each) => each.check));
  const still = stands(belief);
  const { weather, resting } = belief.table.known;
  const cold = new Set(calledForHeat(belief) ? [...weather, ...(runsOn(belief) ? [] : resting)] : []);
  return [...belief.table.checks.keys()].filter((at) => {
    const card = belief.table.checks[at];
    return !made.has(at) && (!allowed || allowed.has(card.id)) && !isGhostly(card) && !cold.has(card.id) && !(needsRunning(card) && still);
  });
};

class Call {
  constructor(belief, prices, allowed) {
    this.belief = belief;
    this.allowed = allowed;
    this.outlook = Outlook.of(belief);
    [this.repair] = belief.bestRepair;
    this.sure = mayBeNamed(belief, this.repair, prices, allowed);
    this.best = this.outlook.best();
    this.prices = prices.ofRepair(mostLikelySuspect(belief, this.repair));
    this.ranked = this.#ranked(openChecks(belief, allowed));
  }

  #ranked(checks) {
    if (this.outlook.weight.length <= ROUGH_PARTICLES) return this.#priced(this.outlook, checks);
    const rough = this.#priced(this.outlook.thinned(ROUGH_PARTICLES), checks);
    const best = rough.slice(0, FULL_CHECKS).map((each) => this.belief.table.checkIndex(each.check.id)).sort((a, b) => a - b);
    return [...this.#priced(this.outlook, best), ...rough.slice(FULL_CHECKS)];
  }

  #priced(outlook, checks) {
    const last = lastSetUp(this.belief);
    return byRank(checks.map((check) => {
      const { bits, bestAfter } = outlook.prospects(check);
      return candidate(this.belief.table.checks[check], last, this.prices, bits[0], bestAfter[0]);
    }));
  }

  stopping(why) { return this.#advice(why, this.ranked, true); }

  measuring(ranked, why = WHY.WORTH_MEASURING) { return this.#advice(why, ranked, false); }

  making(card, why) {
    const known = this.ranked.find((each) => each.check === card);
    const first = known ?? candidate(card, lastSetUp(this.belief), this.prices, 0, this.best);
    return this.measuring([first, ...this.ranked.filter((each) => each !== first)], why);
  }

  minutes(card) { return this.prices.price(card, lastSetUp(this.belief)); }

  worth(each) {
    const actCost = this.prices.wrongRepair(this.best);
    return each.cost < actCost || this.prices.informs(each.bits, each.effort, this.outlook.entropyBits(), actCost);
  }

  deciding(repair) {
    const card = decidingCheck(this.belief, repair, (each) => this.minutes(each), this.allowed);
    const prices = this.prices.ofRepair(mostLikelySuspect(this.belief, repair));
    return card && prices.showsCheaply(this.minutes(card)) ? card : null;
  }

  #advice(why, ranked, stop) { return { stop, why, actCost: this.prices.wrongRepair(this.best), openBits: this.outlook.entropyBits(), candidates: [...ranked] }; }
}

/** The reading that is likely a slip, once more while the meter is there. */
const slipped = (call) => {
  const place = likelySlip(call.belief);
  const card = place === null ? null : call.belief.table.checks[call.belief.readings[place].check];
  return card && (!call.allowed || call.allowed.has(card.id)) ? call.making(card, WHY.SLIP) : null;
};

const ofHealthy = (call) => {
  const left = new Set(proofLeft(call.belief, call.allowed).map((card) => card.id));
  const first = call.ranked.find((each) => left.has(each.check.id));
  if (first) return call.making(first.check, WHY.PROOF);
  const odd = readAgain(call.belief, call.allowed);
  if (odd) return call.making(odd, WHY.AGAIN);
  const heard = call.ranked.find(({ check }) => check.quantity === "look:plunger");
  if (heard && heard.bits >= TELLS_AN_EYE) return call.making(heard.check, WHY.WORTH_MEASURING);
  const acquitted = unseen(call.belief) >= ACQUITTED && !oddReadings(call.belief).length;
  let further = byWorth(call, false);
  if (acquitted && checksMade(call.belief) >= MOST_OF_HEALTHY) return call.stopping(WHY.PROVED);
  if (further.stop && !acquitted) further = stillOpen(call) ?? further;
  return further.stop ? call.stopping(WHY.PROVED) : further;
};

/** What tells most, where a unit that seems healthy can neither be let go nor be accused. */
const stillOpen = (call) => {
  const telling = call.ranked.filter((each) => each.bits >= TELLS_ALONE);
  return telling.length && checksMade(call.belief) < MOST_STILL_OPEN ? call.measuring(telling) : null;
};

const owed = (call) => {
  const { belief, repair } = call;
  if (!showing(belief, repair, call.allowed) && readCount(belief, repair) < MOST_DIRECT) {
    const card = call.deciding(repair) ?? unread(call);
    if (card) return call.making(card, WHY.SHOW_FIRST);
  }
  const [first] = owedChecks(belief, mostLikelySuspect(belief, repair), call.allowed);
  if (first) return call.making(first, WHY.OWED_FIRST);
  const at = leansOn(belief, repair, call.prices.enoughProbability);
  if (at === null) return null;
  const again = belief.table.checks[belief.readings[at].check];
  return !call.allowed || call.allowed.has(again.id) ? call.making(again, WHY.AGAIN) : null;
};

/** The most telling reading on a dear part itself, where none was taken and none would decide. */
const unread = (call) => {
  const suspect = mostLikelySuspect(call.belief, call.repair);
  if (suspect.wrong_minutes < READ_MINUTES || readCount(call.belief, call.repair)) return null;
  return call.ranked.find((each) => each.bits >= TELLS_ANYTHING && readsDirectly(each.check, suspect))?.check ?? null;
};

const sure = (call) => {
  const actCost = call.prices.wrongRepair(call.best);
  const ranked = byCost(call.ranked);
  return ranked.some((each) => each.cost < actCost) ? call.measuring(ranked) : call.stopping(WHY.SURE);
};

const unsure = (call, lookAhead) => {
  const advice = byWorth(call, lookAhead);
  if (!advice.stop) return advice;
  const likely = [...call.belief.byRepair].filter(([, share]) => share >= WORTH_SHOWING).map(([repair]) => repair);
  const unread = likely.filter((repair) => !metered(call.belief, repair));
  // Its own reading decided nothing: another on it may.
  if (call.best >= LIKELY && !showing(call.belief, call.repair, call.allowed)) unread.push(call.repair);
  let card = null;
  for (const repair of unread) card ??= call.deciding(repair);
  if (!card && call.best >= LIKELY) {
    const [first] = owedChecks(call.belief, mostLikelySuspect(call.belief, call.repair), call.allowed);
    if (first) return call.making(first, WHY.OWED_FIRST);
  }
  return card ? call.making(card, WHY.SHOW_FIRST) : seenAgain(call) ?? rivalAgain(call) ?? oddAgain(call) ?? around(call) ?? scattered(call) ?? nearly(call) ?? advice;
};

/** What was seen that no good unit shows, once more, before a call ends scattered by it. */
const oddAgain = (call) => {
  const card = call.best >= LIKELY || calledForHeat(call.belief) ? null : readAgain(call.belief, call.allowed);
  return card?.form === "choice" ? call.making(card, WHY.AGAIN) : null;
};

const scattered = (call) => {
  const telling = call.ranked.filter((each) => each.bits >= TELLS_AN_EYE);
  return call.best < LIKELY && telling.length ? call.measuring(telling) : null;
};

const nearly = (call) => {
  const most = call.prices.wrongRepair(call.best);
  const telling = call.ranked.filter((each) => each.bits >= TELLS_MUCH && each.minutes <= most);
  return call.best >= NEARLY && telling.length ? call.measuring(telling) : null;
};

const around = (call) => {
  const suspect = mostLikelySuspect(call.belief, call.repair);
  if (!call.belief.table.checks.some((card) => readsDirectly(card, suspect)) || readCount(call.belief, call.repair)) return null;
  const telling = call.ranked.filter((each) => each.bits >= TELLS_MUCH);
  return telling.length ? call.measuring(telling) : null;
};

const seenAgain = (call) => {
  if (call.best < LIKELY || !showing(call.belief, call.repair, call.allowed)) return null;
  const card = seenOnce(call.belief, call.repair);
  if (!card) return null;
  const meter = call.deciding(call.repair);
  return meter?.form === "number" ? call.making(meter, WHY.SHOW_FIRST) : call.making(card, WHY.AGAIN);
};

/** The look that spoke against the only rival left, once more: that may be the slip. */
const rivalAgain = (call) => {
  const rival = [...call.belief.byRepair].find(([repair]) => repair !== call.repair);
  if (!rival || call.best < NEARLY || rival[1] < 0.5 * (1 - call.best)) return null;
  const card = seenOnce(call.belief, rival[0]);
  return card ? call.making(card, WHY.AGAIN) : null;
};

/** The first look at the very fault that a repair mends, where it was looked at only once. */
const seenOnce = (belief, repair) => {
  const suspect = mostLikelySuspect(belief, repair);
  const cards = belief.readings.filter(({ times }) => times < 2).map(({ check }) => belief.table.checks[check]);
  return cards.find((card) => card.form === "choice" && readsDirectly(card, suspect)) ?? null;
};

const byWorth = (call, lookAhead) => {
  const informs = call.ranked.some((each) => call.worth(each));
  if (!lookAhead) return informs ? call.measuring(call.ranked) : call.stopping(WHY.NOTHING_LEFT);
  const ahead = new LookAhead(call.belief.table, call.outlook, call.prices, withDecisive(call.ranked));
  if (informs) return call.measuring(ahead.reordered());
  if (call.ranked.some((each) => each.bits >= TELLS_ALONE)) return call.stopping(WHY.NOTHING_LEFT);
  const first = ahead.firstOfPair();
  if (!first || !call.worth(first)) return call.stopping(WHY.NOTHING_LEFT);
  return call.measuring([first, ...call.ranked.filter((each) => each.check !== first.check)]);
};

const withDecisive = (ranked) => {
  const [first, later] = [ranked.slice(0, FIRST_BY_RATE), ranked.slice(FIRST_BY_RATE)];
  const decisive = sortedBy(later.map((each, at) => [each, at]), ([each, at]) => [loss(each), at]).slice(0, DECISIVE).map(([each]) => each);
  return [...first, ...decisive, ...later.filter((each) => !decisive.includes(each))];
};
