// Numbers as they are written on the pages.

import { round } from "./numbers.js";

/** By what a unit prefixes: its symbol, the prefixes shown, smallest first, and its own worth. */
const SHOWN = {
  V: ["V", ["µ", "m", "", "k", "M"], 1], mV: ["V", ["µ", "m", "", "k", "M"], 1e-3],
  A: ["A", ["µ", "m", "", "k"], 1], mA: ["A", ["µ", "m", "", "k"], 1e-3],
  Ω: ["Ω", ["µ", "m", "", "k", "M", "G"], 1], MΩ: ["Ω", ["µ", "m", "", "k", "M", "G"], 1e6],
  F: ["F", ["µ", ""], 1], µF: ["F", ["µ", ""], 1e-6],
  W: ["W", ["µ", "m", "", "k", "M"], 1],
};
const PREFIXES = { µ: 1e-6, m: 1e-3, "": 1, k: 1e3, M: 1e6, G: 1e9 };

/** As Python's "{value:.{digits}g}". */
const general = (value, digits) => {
  const [figure, power] = value.toExponential(digits - 1).split("e");
  const exponent = Number(power);
  const bare = (text) => (text.includes(".") ? text.replace(/\.?0+$/, "") : text);
  if (exponent < -4 || exponent >= digits) return `${bare(figure)}e${exponent < 0 ? "-" : "+"}${String(Math.abs(exponent)).padStart(2, "0")}`;
  return bare(value.toFixed(Math.max(digits - 1 - exponent, 0)));
};

const significant = (value, digits) => {
  if (value === 0) return "0";
  if (!(Math.abs(value) >= 1e-6 && Math.abs(value) < 1e12)) return general(value, digits);
  const figure = value.toFixed(Math.min(Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value)))), 100));
  return figure.includes(".") ? figure.replace(/\.?0+$/, "") : figure;
};

export const formatQuantity = (value, unit, digits = 3) => {
  const known = SHOWN[unit];
  if (!Number.isFinite(value)) return value > 0 && known && ["Ω", "F"].includes(known[0]) ? "OL" : `${value} ${unit}`.trim();
  if (!known) return `${significant(value, digits)} ${unit}`.trim();
  const [symbol, shown, factor] = known;
  const whole = value * factor;
  const rounded = Math.abs(Number(whole.toExponential(Math.max(digits, 3) - 1)));
  const fitting = shown.filter((each) => rounded >= PREFIXES[each]);
  const prefix = fitting.length ? fitting[fitting.length - 1] : rounded ? shown[0] : "";
  const scaled = whole / PREFIXES[prefix];
  if (rounded && !(Math.abs(scaled) >= 1e-6 && Math.abs(scaled) < 1e7)) return `${general(whole, digits)} ${symbol}`;
  return `${significant(scaled, digits)} ${prefix}${symbol}`;
};

const withoutNoise = (value, sd) => {
  if (sd <= 0) return value;
  if (Math.abs(value) < 2 * sd) return 0;
  return round(value, -Math.floor(Math.log10(sd)));
};

/** A check's outcome as it is written down; sd leaves out the digits that are noise. */
export const readingText = (card, value, sd = 0) => {
  if (card.form === "choice") return card.choices[value];
  if (!Number.isFinite(value)) return "OL";
  return formatQuantity(withoutNoise(value, sd), card.unit);
};
