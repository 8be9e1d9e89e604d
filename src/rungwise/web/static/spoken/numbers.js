// What somebody says a meter shows, as a number: "one twenty four point six", "point three",
// "two forty volts", "open line"; in Spanish "ciento veinticuatro punto seis", "línea abierta".
// A word that it does not know makes it no number: nothing is guessed, and what comes of it stands
// in the field to be looked at.

const OPEN = {
  en: ["ol", "o l", "oh l", "oh el", "open", "open line", "open circuit", "over limit", "over the limit", "infinity", "infinite"],
  es: ["ol", "o l", "o ele", "abierto", "abierta", "linea abierta", "circuito abierto", "fuera de rango", "infinito"],
};
const ones = (names) => Object.fromEntries(names.split(" ").map((name, at) => [name, at + 1]));
const tens = (names) => Object.fromEntries(names.split(" ").map((name, at) => [name, 10 * (at + 2)]));
const WORDS = {
  en: {
    zero: 0, oh: 0, o: 0, nought: 0,
    ...ones("one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen"),
    ...tens("twenty thirty forty fifty sixty seventy eighty ninety"),
  },
  es: {
    cero: 0, un: 1, una: 1,
    ...ones("uno dos tres cuatro cinco seis siete ocho nueve diez once doce trece catorce quince dieciseis diecisiete dieciocho diecinueve"),
    ...tens("veinte treinta cuarenta cincuenta sesenta setenta ochenta noventa"),
    ...Object.fromEntries("uno dos tres cuatro cinco seis siete ocho nueve".split(" ").map((name, at) => [`veinti${name}`, 21 + at])),
    veintiun: 21, cien: 100, ciento: 100,
    ...Object.fromEntries("doscient trescient cuatrocient quinient seiscient setecient ochocient novecient".split(" ").flatMap((name, at) => [[`${name}os`, 100 * (at + 2)], [`${name}as`, 100 * (at + 2)]])),
  },
};
const HUNDRED = { en: ["hundred"], es: [] };
const THOUSAND = { en: ["thousand"], es: ["mil"] };
const POINT = { en: ["point", "dot", "decimal"], es: ["punto", "coma"] };
const MINUS = { en: ["minus", "negative"], es: ["menos", "negativo"] };
const HALF = { en: ["half"], es: ["medio", "media"] };
const IDLE = {
  en: ["and", "a", "the", "it", "is", "reads", "shows", "volts", "volt", "v", "ohms", "ohm", "amps", "amp", "amperes", "microfarads", "microfarad", "mfd", "farads", "ac", "dc"],
  es: ["y", "el", "la", "es", "lee", "marca", "voltios", "voltio", "volts", "v", "ohmios", "ohmio", "ohms", "amperios", "amperio", "amperes", "amper", "microfaradios", "microfaradio", "microfarads", "de", "ca", "cc"],
};
const PREFIX = {
  kilo: "k", kilos: "k", k: "k", kilohm: "k", kilohms: "k", kiloohms: "k", kohms: "k", kiloohmios: "k", kilohmios: "k",
  meg: "M", megs: "M", mega: "M", megohm: "M", megohms: "M", megaohms: "M", megaohmios: "M", megohmios: "M",
  milli: "m", mili: "m", millivolts: "m", millivolt: "m", milliamps: "m", milivoltios: "m", milivolts: "m", miliamperios: "m",
};

const plain = (text) => text.toLowerCase().normalize("NFD").replace(/[\u0300-\u036f]/g, "").replace(/[-‐–]/g, (sign, at) => (/\d/.test(text[at + 1] ?? "") && !/\w/.test(text[at - 1] ?? "") ? " minus " : " "));
// "1,240" is one thousand and more, "124,6" has a comma for its point.
const figures = (text) => text.replace(/\d[\d,]*(?:\.\d+)?/g, (found) => (/^\d{1,3}(,\d{3})+(\.\d+)?$/.test(found) ? found.replaceAll(",", "") : found.replace(",", ".")));

// The digits behind a tens or a hundreds word fill its noughts; any other follow it: "two forty".
const room = (value) => (value >= 100 && value % 100 === 0 ? 2 : value >= 20 && value % 10 === 0 ? 1 : 0);
const put = (so, value) => {
  const text = String(value);
  if (value && so.room >= text.length) {
    so.digits = so.digits.slice(0, -so.room) + String(Number(so.digits.slice(-so.room)) + value).padStart(so.room, "0");
  } else so.digits += text;
  so.room = room(value);
};
const whole = (so) => so.sum + Number(so.digits || 0);

// The number in a text, as it is typed, and the prefix of its unit: { text, prefix }; null for none.
export const heard = (said, language = "en") => {
  const tongue = language.startsWith("es") ? "es" : "en";
  const text = figures(plain(said)).replace(/(\d)\s*([a-z]+)/g, "$1 $2").replace(/[^\w.\s]/g, " ").replace(/\b([ol])\.\s*([ol])\.?/g, "$1 $2").replace(/\.(?!\d)/g, " ").replace(/\s+/g, " ").trim();
  if (OPEN[tongue].includes(text)) return { text: "OL", prefix: "" };
  const so = { sum: 0, digits: "", room: 0, begun: false };
  const behind = { digits: "", room: 0 };
  let [minus, prefix, decimals] = ["", "", null];
  for (const word of text.split(" ").filter(Boolean)) {
    const value = WORDS[tongue][word];
    const typed = /^(\d*)(?:\.(\d+))?$/.exec(word);
    if (decimals === null && MINUS[tongue].includes(word) && !so.begun) minus = "-";
    else if (prefix && (value !== undefined || typed)) return null;
    else if (POINT[tongue].includes(word)) { if (decimals !== null) return null; decimals = ""; }
    else if (decimals !== null && value !== undefined) { put(behind, value); decimals = behind.digits; }
    else if (decimals !== null && typed && typed[2] === undefined) { behind.digits += word; behind.room = 0; decimals = behind.digits; }
    else if (decimals !== null && typed) return null;
    else if (value !== undefined) { put(so, value); so.begun = true; }
    else if (typed) {
      if (typed[1]) put(so, Number(typed[1]));
      if (/^0/.test(typed[1]) && typed[1].length > 1) return null;
      so.begun = true;
      if (typed[2] !== undefined) decimals = typed[2];
    } else if (HUNDRED[tongue].includes(word)) {
      so.digits = String(100 * Number(so.digits || 1));
      so.room = 2;
      so.begun = true;
    } else if (THOUSAND[tongue].includes(word)) {
      so.sum += 1000 * Number(so.digits || 1);
      so.digits = "";
      so.room = 0;
      so.begun = true;
    } else if (HALF[tongue].includes(word) && decimals === null) { decimals = "5"; }
    else if (PREFIX[word]) { if (prefix) return null; prefix = PREFIX[word]; }
    else if (!IDLE[tongue].includes(word)) return null;
  }
  if (decimals === "" || (!so.begun && decimals === null)) return null;
  return { text: `${minus}${whole(so)}${decimals === null ? "" : `.${decimals}`}`, prefix };
};
