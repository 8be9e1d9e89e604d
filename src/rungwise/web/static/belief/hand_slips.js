// What a hand and an eye get wrong in a way of its own: the point, the unit, the terminal.

export const OFF_BY = [[10, 0.06], [0.1, 0.06], [1e3, 0.06], [1e-3, 0.06], [1e6, 0.02], [1e-6, 0.02]];
const LEAST = 0.25;
const FINEST = 0.05;
export const EXCHANGED = 0.01;
export const TOO_SOON = 0.1;
const ROOT_2PI = Math.sqrt(2 * Math.PI);

const partOf = (node) => node.slice(0, node.indexOf("."));
const keyOf = (nodes) => [...nodes].sort().join(" ");

/** All that may be taken for something else on a unit: { of, share, first }.

of: a map from a check's column to that of the one really made. first: columns to be read before a
part is waited for again. */
export const mistakes = (checks) => [...exchanged(checks), ...tooSoon(checks)];

const onOnePart = (card) => card.red && card.black && partOf(card.red) === partOf(card.black);

/** Each winding read once its shell is cold, taken for itself as it was found. */
const tooSoon = (checks) => {
  const found = [];
  checks.forEach((card, at) => {
    if (card.setting === "apart" && card.quantity === "ohms" && onOnePart(card)) found.push({ card, at });
  });
  return checks.flatMap((card, at) => {
    if (card.setting !== "cooled") return [];
    const same = found.find((other) => other.card.red === card.red && other.card.black === card.black);
    if (!same) return [];
    const past = found.filter((other) => partOf(other.card.red) === partOf(card.red) && other.card.red !== card.red && other.card.black !== card.red);
    return [{ of: new Map([[at, same.at]]), share: TOO_SOON, first: past.map((other) => other.at) }];
  });
};

/** Two terminals of a part exchanged. */
const exchanged = (checks) => {
  const groups = new Map();
  checks.forEach((card, at) => {
    if (card.setting !== "apart" || card.form !== "number" || !onOnePart(card)) return;
    const key = `${partOf(card.red)} ${card.quantity}`;
    if (!groups.has(key)) groups.set(key, new Map());
    groups.get(key).set(keyOf([card.red, card.black]), at);
  });
  return [...groups.values()].flatMap(exchangesIn);
};

const exchangesIn = (places) => {
  const nodes = [...new Set([...places.keys()].flatMap((pair) => pair.split(" ")))];
  const found = [];
  nodes.forEach((one, first) => nodes.slice(first + 1).forEach((other) => {
    const swapped = { [one]: other, [other]: one };
    const of = new Map();
    let whole = true;
    for (const [pair, at] of places) {
      const to = places.get(keyOf(pair.split(" ").map((node) => swapped[node] ?? node)));
      if (to === undefined) whole = false;
      else of.set(at, to);
    }
    if (whole && [...of].some(([at, to]) => at !== to)) found.push({ of, share: EXCHANGED, first: [] });
  }));
  return found;
};

export const moves = (of, check) => (of.get(check) ?? check) !== check;

/** Density of a reading as a slip of one way, with its share in it; middle, spread: of a particle. */
export const slipDensity = ([factor, share], middle, spread, z) => {
  if (!Number.isFinite(middle) || middle < LEAST) return 0;
  const size = Math.sinh(middle);
  const seen = size / factor;
  const mean = Math.asinh(seen);
  if (!(mean >= LEAST)) return 0;
  const sd = Math.hypot((spread * Math.hypot(1, size)) / (factor * Math.hypot(1, seen)), FINEST);
  return (share * Math.exp(-0.5 * ((z - mean) / sd) ** 2)) / (ROOT_2PI * sd);
};

/** Share of the slips that are of one of these ways, on a particle. */
export const namedShare = (middle) => {
  if (!Number.isFinite(middle) || middle < LEAST) return 0;
  return OFF_BY.reduce((total, [by, share]) => total + (Math.asinh(Math.sinh(middle) / by) >= LEAST ? share : 0), 0);
};
