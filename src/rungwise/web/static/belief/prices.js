// What checks and mistakes cost, in minutes, and a check that could be made next.

export class Prices {
  /** known: of the table, with the words of the conditions that have a price. */
  constructor(known, wrongRepairMinutes = 150, coolingMinutes = 15) {
    this.known = known;
    this.wrongRepairMinutes = wrongRepairMinutes;
    this.wayBackMinutes = 90;
    this.minutesPerRisk = 1;
    this.deadMinutes = 15;
    this.coolingMinutes = coolingMinutes;
    this.conditionChangeMinutes = 3;
    this.askingMinutes = 5;
    this.leastMinutes = 0.25;
    this.enoughProbability = 0.9;
    this.leastBits = 0.05;
    this.worthShowing = 0.5;
  }

  price(check, last) { return Math.max(check.minutes + this.minutesPerRisk * check.risk + this.#setUp(check, last), this.leastMinutes); }

  /** By which checks are chosen: the price, and what it takes to be asked at all. */
  effort(check, last) { return this.price(check, last) + this.askingMinutes; }

  #setUp(check, last) {
    const { dead, looking, cooled } = this.known;
    const now = last ? last.condition : looking;
    if (check.condition === looking || check.condition === now) return 0;
    if (check.condition === dead) return this.deadMinutes;
    if (check.condition === cooled) return this.coolingMinutes;
    return now === looking ? 0 : this.conditionChangeMinutes;
  }

  /** Where the repair is to let it cool, the wait is made in any case. */
  ofRepair(suspect) {
    const minutes = suspect.wrong_minutes ? Math.max(suspect.wrong_minutes, this.wayBackMinutes) : this.wrongRepairMinutes;
    const waits = suspect.repair === `${suspect.part}:let_cool`;
    return new Prices(this.known, minutes, waits ? this.conditionChangeMinutes : this.coolingMinutes);
  }

  informs(bits, minutes, unknown, actCost) { return bits >= this.leastBits && unknown * minutes <= actCost * bits; }

  showsCheaply(minutes) { return minutes <= this.worthShowing * this.wrongRepairMinutes; }

  wrongRepair(best) { return this.wrongRepairMinutes * (1 - best); }
}

export const candidate = (check, last, prices, bits, bestAfter) => {
  const [minutes, effort] = [prices.price(check, last), prices.effort(check, last)];
  return { check, bits, minutes, effort, cost: effort + prices.wrongRepair(bestAfter) };
};

/** Bits under which a check tells nothing: what is left there is made by rounding. */
const LEAST_TOLD = 1e-9;
/** Best first, by rate; of rates alike to two digits, dead checks first; else as in the unit's file. */
const rateTold = ({ bits, effort }) => bits >= LEAST_TOLD ? Number((bits / effort).toExponential(1)) : 0;
const rank = (each) => [-rateTold(each), each.check.live ? 1 : 0, each.minutes];
export const compare = (one, other) => {
  for (let at = 0; at < one.length; at += 1) {
    if (one[at] < other[at]) return -1;
    if (one[at] > other[at]) return 1;
  }
  return 0;
};
/** Sorted by what a key says, a list of numbers; what is alike stays in its order. */
export const sortedBy = (list, key) => list.map((each) => [key(each), each]).sort((a, b) => compare(a[0], b[0])).map(([, each]) => each);
export const byRank = (candidates) => sortedBy(candidates, rank);
export const byCost = (candidates) => sortedBy(candidates, (each) => [loss(each), ...rank(each)]);
/** The cost without the digits that rounding makes, to sort by. */
export const loss = (each) => Math.round(each.cost * 1e6) / 1e6;
