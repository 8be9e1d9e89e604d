// The scale on which readings are compared, asinh(y / y0), and how far the model may be wrong there.

const BEYOND = 2;
const OVER_RANGE_STEP = 2;
const FLOOR_ERRORS = 2;
const OVER_RANGE_CHANCE = [0.25, 0.01];
const OPEN_OHM = 1e9;
const OVER_RANGE_SHARE = 0.05;
const WIDEST = 0.5;
const TINY = 1e-12;
const LEAKAGE_OHM = 1e5;

/** Of each quantity: own deviation, shared by all of it, offset in its unit, own where it leaks. */
export const DISCREPANCY = {
  volts: [0.008, 0.01, 0, 0],
  sag: [0.03, 0.015, 0, 0],
  ghost: [3, 0, 0, 0],
  drop: [0.4, 0.15, 0, 0],
  leg_drop: [0.4, 0.15, 0, 0],
  amps: [0.07, 0.07, 0, 0],
  held_amps: [0.3, 0.2, 0, 0],
  winding_amps: [0.35, 0.25, 0, 0],
  inrush: [0.22, 0.12, 0, 0],
  ohms: [0.03, 0.02, 0.2, 1.5],
  megohms: [0.6, 0.3, 0, 0],
  microfarads: [0.02, 0.01, 0, 0],
};

const ofColumn = (card, reading, sd) => {
  let least = Infinity;
  let over = false;
  reading.forEach((each, at) => {
    if (Number.isFinite(each) && sd[at] < least) least = sd[at];
    if (each === Infinity) over = true;
  });
  const floor = FLOOR_ERRORS * (Number.isFinite(least) ? least : 1);
  const top = Math.asinh((card.top ?? Infinity) / floor);
  let [low, most] = [0, 0];
  for (const each of reading) {
    if (!Number.isFinite(each)) continue;
    const z = Math.asinh(each / floor);
    if (z < low) low = z;
    if (z > most) most = z;
  }
  low -= BEYOND;
  const high = Math.min(most + BEYOND, Math.max(top, low + 1));
  const overRange = OVER_RANGE_CHANCE[over ? 0 : 1];
  return { floor, top, low, high, most, overRange, wild: (1 - overRange) / (high - low) };
};

const zOf = (scale, reading) => (reading === Infinity ? scale.top + OVER_RANGE_STEP : Math.asinh(reading / scale.floor));

const varianceOf = (card, scale, reading, sd, extra) => {
  const finite = Number.isFinite(reading);
  const y = finite ? reading : Number.isNaN(reading) ? 0 : OPEN_OHM;
  const stretch = 1 / Math.hypot(y, scale.floor);
  const meter = Math.min(finite ? sd * stretch : OVER_RANGE_SHARE, WIDEST * (scale.high - scale.low));
  const [own, , offset, leaky] = DISCREPANCY[card.quantity] ?? [0, 0, 0, 0];
  const share = Math.min(Math.max(Math.log10(Math.max(y, 1) / LEAKAGE_OHM) + 1, 0), 1);
  const model = own ** 2 + (offset * stretch) ** 2 + (leaky * share) ** 2;
  return meter ** 2 + model + extra + TINY;
};

/** Scale, readings on it and their variance for every check of a table. */
export const onScale = (table) => {
  const M = table.checks.length;
  const found = { scale: [], z: [], variance: [] };
  table.checks.forEach((card, m) => {
    const [reading, sd] = [table.reading[m], table.readingSd[m]];
    const scale = ofColumn(card, reading, sd);
    found.scale.push(scale);
    found.z.push(Float64Array.from(reading, (each) => zOf(scale, each)));
    found.variance.push(Float64Array.from(reading, (each, n) => varianceOf(card, scale, each, sd[n], table.own[table.slopeOf[n] * M + m])));
  });
  return found;
};

/** Families of readings that the model gets wrong together: their deviations, [check][family]. */
export const sharedDeviations = (cards) => {
  const names = Object.keys(DISCREPANCY).filter((name) => DISCREPANCY[name][1] !== 0 && cards.some((card) => card.quantity === name));
  return cards.map((card) => names.map((name) => (card.quantity === name ? DISCREPANCY[name][1] : 0)));
};
