// A table as it was taken along: a line of JSON, then the bytes of its arrays.

import { tableOf } from "./table.js";

const READING_STEPS = 2 ** 16;
const SD_STEPS = 128;
const TANGENT_STEPS = 2 ** 12;
const SLOPE_STEPS = 2 ** 13;
const [NOT_MADE, OVER] = [0x400000, 0x400001];
const FLOOR_ERRORS = 2;

const USUAL_CHECK = {
  form: "number", choices: [], unit: "", minutes: 1, risk: 0, live: false, instrument: "", where: "",
  condition: "", cautions: [], needs: [], quantity: "", touches: [], setting: "", red: "", black: "", jaw: "", link: "",
};
const USUAL_SUSPECT = { part: "", mode: "", repair_text: "", cause_text: "", effect_text: "", cause_of: null, behind: "", shown_by: [], is_effect: false, kind: "", place: "", signal: null };

/** Numbers of an array, column by column, each a Float64Array over the rows. */
const columnsOf = (bytes, { width }, rows, columns, like) => {
  const size = rows * columns;
  const modulus = 2 ** (8 * width);
  return Array.from({ length: columns }, (_, column) => {
    const found = new Float64Array(rows);
    for (let byte = width - 1; byte >= 0; byte -= 1) {
      const from = byte * size + column * rows;
      for (let row = 0; row < rows; row += 1) found[row] = found[row] * 256 + bytes[from + row];
    }
    if (like) for (let row = 0; row < rows; row += 1) if (like[row] !== row) found[row] = (found[row] + found[like[row]]) % modulus;
    return found;
  });
};
const signed = (steps) => steps.map((each) => (each > 32767 ? each - 65536 : each));
const singles = (bits) => {
  const view = new DataView(new ArrayBuffer(4));
  return bits.map((each) => { view.setUint32(0, each); return view.getFloat32(0); });
};

/** bytes: Uint8Array, no longer packed. */
export const carriedTable = (bytes) => {
  const end = bytes.indexOf(10);
  const told = JSON.parse(new TextDecoder().decode(bytes.subarray(0, end)));
  if (told.format !== 1) throw new Error("This table was taken along by another version. Take the call along again.");
  const checks = told.checks.map((card) => ({ ...USUAL_CHECK, ...card, top: card.top ?? Infinity }));
  const suspects = told.suspects.map((card) => ({ ...USUAL_SUSPECT, ...card }));
  const suspectOf = Int32Array.from(told.counts.flatMap((count, suspect) => Array(count).fill(suspect)));
  const N = suspectOf.length;
  const M = checks.length;
  const first = told.counts.map((_, at) => told.counts.slice(0, at).reduce((a, b) => a + b, 0));
  const [goodFirst, goodCount] = [first[told.good], told.counts[told.good]];
  const byParticle = Int32Array.from(suspectOf, (suspect, row) => goodFirst + ((row - first[suspect]) % goodCount));
  let at = end + 1;
  let slopeOf;
  let Q = 0;
  const held = {};
  const take = (array, rows, columns, like) => {
    const length = rows * columns * array.width;
    held[array.name] = columnsOf(bytes.subarray(at, at + length), array, rows, columns, like);
    at += length;
  };
  const choices = checks.reduce((count, card) => count + (card.form === "choice" ? card.choices.length : 0), 0);
  for (const array of told.arrays) {
    if (array.name === "slopeOf") {
      take(array, N, 1, null);
      slopeOf = Int32Array.from(held.slopeOf[0]);
      Q = slopeOf.reduce((a, b) => Math.max(a, b)) + 1;
    } else if (array.like === "slopes") {
      const columns = array.name === "own" ? M : M * told.longest;
      take(array, Q, columns, new Int32Array(Q).fill(slopeOf[goodFirst]));
    } else take(array, N, array.name === "chance" ? choices : M, array.like ? byParticle : null);
  }
  return tableOf({ suspects, checks, suspectOf, slopeOf, known: told.known, digest: told.digest, ...arraysOf(held, told, checks, Q) });
};

const arraysOf = (held, told, checks, Q) => {
  const M = checks.length;
  const { floors, longest, unknowns } = told;
  const reading = held.reading.map((steps, m) => steps.map((each) => (each === NOT_MADE ? NaN : each === OVER ? Infinity : floors[m] * Math.sinh((each >= 0x800000 ? each - 0x1000000 : each) / READING_STEPS))));
  const readingSd = held.sd.map((steps, m) => steps.map((each) => (floors[m] / FLOOR_ERRORS) * 2 ** (each / SD_STEPS)));
  const tangent = held.tangent.map((steps) => signed(steps).map((each) => each / TANGENT_STEPS));
  const own = new Float64Array(Q * M);
  held.own.forEach((bits, m) => singles(bits).forEach((each, q) => { own[q * M + m] = each; }));
  const by = new Float64Array(Q * M * longest);
  const unknown = new Uint16Array(Q * M * longest);
  held.slope.forEach((steps, at) => signed(steps).forEach((each, q) => { by[q * M * longest + at] = each / SLOPE_STEPS; }));
  held.unknown.forEach((steps, at) => steps.forEach((each, q) => { unknown[q * M * longest + at] = each; }));
  const choice = {};
  let at = 0;
  checks.forEach((card, m) => {
    if (card.form !== "choice") return;
    choice[m] = card.choices.map(() => { at += 1; return singles(held.chance[at - 1]); });
  });
  return { reading, readingSd, tangent, own, choice, slopes: { by, unknown, longest, unknowns } };
};
