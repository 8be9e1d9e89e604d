// What is wrong, as far as the readings tell.

import { causesBehind, mayBeNamed, owedChecks } from "./behind.js";
import { NOT_STANDING_OUT, oddReadings, proofLeft, proofOf, seemsHealthy, unseen } from "./healthy.js";
import { argsort, ranked } from "./numbers.js";
import { clashes, impossible, leansOn } from "./oddness.js";
import { Prices } from "./prices.js";
import { DEAR_MINUTES, bearsWeight, confirmation, decidingCheck, mostLikelySuspect, showing } from "./shown.js";

const TEMPTING = 0.05;
const RUNNER_UP = 0.01;
const CLEARING_BITS = 1;
const MOST_OF_NONE = 0.5;
const WATCHED = 3;

const answersOf = (belief) => [...belief.byRepair].map(([repair, probability]) => ({ repair, suspect: mostLikelySuspect(belief, repair), probability }));

/** In the order of trying that costs least: by probability per minute of the repair. */
const tryOrder = (answers) => ranked(answers.map((each) => each.probability / each.suspect.repair_minutes)).map((at) => answers[at]);

/**
 * { kind, probability, answer, runnersUp, tryOrder, doubtful, clashes, wrongPart, shown, confirm,
 * first, again, causes, watch, notRead }; readings are given by their places.
 */
export const verdict = (belief, { prices = new Prices(belief.table.known), suspected = null, allowed = null } = {}) => {
  const answers = answersOf(belief);
  const [best] = answers;
  const none = belief.noneOfThese;
  const plain = {
    kind: "undecided", probability: best.probability, answer: best, runnersUp: [], tryOrder: [],
    doubtful: impossible(belief), clashes: clashes(belief), wrongPart: null, shown: false,
    confirm: null, first: [], again: null, causes: [], watch: [], notRead: [],
  };
  if (none > best.probability) return { ...plain, kind: "none_of_these", probability: Math.min(none, MOST_OF_NONE), answer: null };
  plain.runnersUp = answers.slice(1).filter((each) => each.probability >= RUNNER_UP);
  plain.wrongPart = wrongPart(belief, best.suspect.part, suspected);
  if (seemsHealthy(belief)) return ofHealthy(belief, plain, answers, allowed);
  if (!mayBeNamed(belief, best.repair, prices, allowed)) return { ...plain, tryOrder: tryOrder([best, ...plain.runnersUp]) };
  return named(belief, plain, prices.enoughProbability, allowed);
};

const ofHealthy = (belief, plain, answers, allowed) => {
  const { known } = belief.table;
  const healthy = { ...answers.find((each) => each.suspect.id === known.healthy), probability: unseen(belief) };
  if (oddReadings(belief).length || proofLeft(belief, allowed).length || healthy.probability < NOT_STANDING_OUT) return { ...plain, tryOrder: tryOrder([plain.answer, ...plain.runnersUp]) };
  const made = new Set(belief.readings.map(({ check }) => belief.table.checks[check].id));
  const watch = [plain.answer, ...plain.runnersUp].filter((each) => each.suspect.id !== known.healthy);
  return {
    ...plain, kind: "nothing_wrong_now", answer: healthy, probability: healthy.probability,
    runnersUp: watch, watch: watch.slice(0, WATCHED),
    notRead: proofOf(belief).filter((id) => !made.has(id)).map((id) => belief.table.check(id).title),
  };
};

const named = (belief, plain, enough, allowed) => {
  const best = plain.answer;
  const { suspect } = best;
  const shown = showing(belief, best.repair, allowed);
  const owed = owedChecks(belief, suspect, allowed);
  const again = best.probability >= enough ? leansOn(belief, best.repair, enough) : null;
  const causes = suspect.is_effect ? causesBehind(belief, suspect).map(([each, probability]) => ({ repair: each.repair, suspect: each, probability })) : [];
  const clear = shown && !owed.length && again === null;
  const hidden = causes.reduce((total, each) => total + each.probability, 0) > 1 - enough;
  const confirm = shown ? null : confirmedBy(belief, best, allowed);
  if (!shown && !confirm && suspect.wrong_minutes >= DEAR_MINUTES) return { ...plain, tryOrder: tryOrder([best, ...plain.runnersUp]), causes };
  return { ...plain, kind: clear && !hidden ? "found" : "suspected", shown, confirm, first: owed, again, causes };
};

const confirmedBy = (belief, best, allowed) => {
  const card = decidingCheck(belief, best.repair, (each) => each.minutes + each.risk, allowed);
  return card && confirmation(belief, card, best.repair);
};

/** The beliefs of the call from the moment when what can be seen and heard was known. */
const stages = (belief) => {
  const numbers = belief.readings.map(({ check }) => belief.table.checks[check].form === "number");
  const looks = Math.max(numbers.indexOf(true), 0);
  return Array.from({ length: numbers.length - looks + 1 }, (_, at) => belief.upto(looks + at));
};

const wrongPart = (belief, right, suspected) => {
  const parts = belief.table.byPart;
  const posteriors = stages(belief).map((each) => each.posterior(parts));
  const peak = posteriors[0].map((_, at) => Math.max(...posteriors.map((each) => each[at])));
  let at = suspected === null ? -1 : parts.index(suspected);
  if (suspected === right) return null;
  if (at < 0) {
    const others = peak.map((each, place) => (parts.names[place] === right ? -1 : each));
    [at] = ranked(others);
    if (others[at] < TEMPTING) return null;
  }
  const evidence = belief.evidence(parts).map((row) => row[at]);
  const against = argsort(evidence).filter((place) => evidence[place] <= -CLEARING_BITS && bearsWeight(belief, place));
  const clearedBy = against.map((place) => ({ place, bits: evidence[place] }));
  return { part: parts.names[at], believed: peak[at], now: posteriors[posteriors.length - 1][at], clearedBy };
};
