// A call taken along, on its page: what is kept of it, and the card as this phone works it out.

import { answered } from "./call.js";
import { answerNow, base, carried, fill, forget, keep, kept, keptAt, number, pieceOf, refresh, SLOT, waiting } from "./carry.js";
import { readingText } from "./wording.js";

const PAGES = ["", "/dead", "/part", "/wires", "/lost", "/proof", "/sign-off", "/picture"];
const SHOWN = 6;
const LIKELY = 4; // parts whose work is along before the call is said to be

let section = document.getElementById("along");
let running = false;
let said = "";

// --- taking along --------------------------------------------------------------------------------
const told = (text) => { said = text; section.querySelector("span").textContent = text; };
/** The key, also of a page that was put in place of the one before. */
const shown = () => {
  section.hidden = false;
  const key = section.querySelector("button");
  key.disabled = running;
  key.addEventListener("click", takeAlong);
  if (said) told(said);
};
const shownAnew = () => {
  const found = document.getElementById("along");
  if (!found || found === section) return;
  section = found;
  shown();
};
const ofPage = (path) => fetch(path, { headers: { accept: "text/html" } }).catch(() => {});
const takeAlong = async () => {
  running = true;
  section.querySelector("button").disabled = true;
  try {
    const steps = ["", "/table", "/state", "/done", "/work"];
    const count = (at) => told(`${section.dataset.busy} ${at + 1} / ${steps.length + LIKELY + 1}`);
    for (const [at, path] of steps.entries()) { count(at); await keep(`${base}${path}`); }
    forget();
    const parts = await partsAlong();
    for (const [at, path] of parts.slice(0, LIKELY).entries()) { count(steps.length + at); await keep(path); }
    count(steps.length + LIKELY);
    for (const path of ["/day", ...PAGES.map((each) => `/calls/${number}${each}`)]) await ofPage(path);
    await tell();
    // Parts that are hardly at fault come after, while the call is worked.
    for (const [at, path] of parts.entries()) { if (at >= LIKELY) { await tell(`${at} / ${parts.length}`); await keep(path); } }
    await tell();
  } catch { told(section.dataset.failed); }
  running = false;
  section.querySelector("button").disabled = false;
};
/** Every part of the unit, those first that are likeliest at fault, and wires that are likely. */
const partsAlong = async () => {
  const { dead } = await kept(`${base}/work`);
  const { answer } = await answerNow();
  const likely = [answer.verdict.answer, ...answer.verdict.runnersUp].filter(Boolean).map((each) => each.suspect.part);
  const parts = Object.keys(dead.scopeOf);
  const rank = (name) => (likely.includes(name) ? likely.indexOf(name) : likely.length);
  const wires = [...new Set(likely)].filter((name) => name && !parts.includes(name)).slice(0, LIKELY);
  return [...parts.sort((one, other) => rank(one) - rank(other)).map((name) => `${base}/part/${name}`), ...wires.map((name) => `${base}/test/${name}`)];
};
const tell = async (parts = "") => {
  const at = await keptAt(`${base}/state`);
  if (at) told(`${section.dataset.done} ${clock.day(at)}.${parts ? ` ${section.dataset.parts} ${parts}` : ""}`);
};

// --- the answer ----------------------------------------------------------------------------------
const percentIn = ({ most, half, least }) => (share) => (share > 0.99 ? most : share < 0.01 ? least : half.replace("50", String(Math.round(100 * share))));
const stopped = (text) => (/[.!?]$/.test(text) ? text : `${text}.`);
const capital = (text) => text.slice(0, 1).toUpperCase() + text.slice(1);

/** What a check and a fault are called in the language of the page. */
const titleOf = ({ cards }, check) => pieceOf(cards[check]).querySelector("#check").textContent;
const nameOf = ({ answers }, { id }) => pieceOf(answers[id].found[1]).querySelector("b").textContent;

/** A check's card, with its picture: the ladder without leads, and what differs from it. */
const cardPiece = ({ cards, pictures }, check) => {
  const made = pieceOf(cards[check]);
  const place = made.querySelector(".drawing .whole");
  if (!place) return made;
  const tokens = pictures.base.match(/<[^>]*>|[^<]+/g);
  for (const [from, to, text] of [...(pictures.patches[check] ?? [])].reverse()) tokens.splice(from, to - from, text);
  place.innerHTML = tokens.join("");
  return made;
};

/** The lines that come before a repair. */
const owedLines = (found, { pieces, model }, belief) => {
  const { words, limits } = pieces;
  const { table } = model;
  const said = (place) => {
    const { check, value } = belief.readings[place];
    const card = table.checks[check];
    const [title, text] = [titleOf(pieces, card.id), readingText(card, value)];
    return title.endsWith("?") ? `${title} ${text}` : `${title}: ${text}`;
  };
  const lines = found.confirm ? confirmLines(found.confirm, pieces) : [];
  if (found.first.length) lines.push(stopped(fill(words.before, found.first.map((card) => titleOf(pieces, card.id)).join("; "))));
  if (found.again !== null) lines.push(fill(words.again, said(found.again)));
  const doubts = [
    ...found.doubtful.map((place) => fill(words.impossible, said(place))),
    ...found.clashes.map((pair) => fill(words.clash, pair.map(said).join("; "))),
  ];
  return { lines, doubts };
};
const confirmLines = (confirm, pieces) => {
  const { words, limits } = pieces;
  const { check } = confirm;
  let { go, stop } = confirm;
  const limit = limits[check.id];
  if (limit) {
    const [least, low, high, most] = ["least", "low", "high", "most"].map((each) => (limit[each] === "inf" ? Infinity : limit[each] === "-inf" ? -Infinity : limit[each]));
    [go, stop] = Number.isFinite(least) ? [[[-Infinity, least], ...go.filter(([from]) => high < from && from < Infinity)], [[low, high]]] : [[[most, Infinity]], [[-Infinity, high]]];
  }
  const span = ([low, high]) => {
    if (low === high) return readingText(check, low);
    if (low === -Infinity) return fill(words.under, readingText(check, high));
    if (high === Infinity) return fill(words.over, readingText(check, low));
    return `${readingText(check, low)} ${words.to} ${readingText(check, high)}`;
  };
  const all = (spans) => capital(spans.map(span).join(`, ${words.or} `));
  const lines = [fill(words.first, titleOf(pieces, check.id)), fill(words.go, all(go))];
  return stop.length ? [...lines, fill(words.stop, all(stop))] : lines;
};

/** The verdict's card, or its lines below a check. */
const verdictPiece = (answer, told, below) => {
  const { verdict: found, belief } = answer;
  const { pieces } = told;
  const percent = percentIn(pieces.words);
  const { lines, doubts } = owedLines(found, told, belief);
  const plus = lines.length && found.kind === "suspected" ? "+" : "";
  const variant = found.kind === "suspected" ? `${found.shown ? "shown" : "suspected"}${plus}` : found.kind;
  const healthy = found.kind === "nothing_wrong_now";
  const name = healthy || !found.answer ? found.kind : found.answer.suspect.id;
  const made = pieceOf(pieces.answers[name][variant][below ? 1 : 0]);
  for (const figure of made.querySelectorAll(".figure")) figure.textContent = percent(found.probability);
  const acquittal = healthy ? [...(found.watch.length ? [fill(pieces.words.watch, found.watch.map((each) => nameOf(pieces, each.suspect)).join("; "))] : []), ...found.notRead.map((each) => fill(pieces.words.notRead, each))] : [];
  const walker = document.createTreeWalker(made, NodeFilter.SHOW_TEXT);
  const slots = [];
  while (walker.nextNode()) if (walker.currentNode.data.includes(SLOT)) slots.push(walker.currentNode.parentElement);
  for (const slot of slots) {
    if (/^h\d$/i.test(slot.tagName) || (healthy && slot === slots[0])) { slot.textContent = pieces.words.healthy; continue; }
    const texts = healthy ? acquittal : lines;
    slot.replaceWith(...texts.map((text) => Object.assign(slot.cloneNode(), { textContent: text })));
  }
  for (const text of doubts) made.append(Object.assign(document.createElement("p"), { className: "wrong", textContent: text }));
  made.dataset.kind = found.kind;
  made.dataset.answer = found.answer?.repair ?? "";
  return made;
};

const suspectsPiece = (answer, { pieces, model }) => {
  const made = pieceOf(pieces.rows);
  const list = made.querySelector("ol");
  const rows = [...list.children];
  const percent = percentIn(pieces.words);
  const { verdict: found } = answer;
  const likely = [found.answer, ...found.runnersUp].filter(Boolean).slice(0, SHOWN);
  list.replaceChildren(...likely.map((each) => {
    const row = rows[model.table.suspectIndex(each.suspect.id)];
    row.querySelector(".figure").textContent = percent(each.probability);
    row.querySelector("svg .share").setAttribute("width", (100 * each.probability).toFixed(1));
    return row;
  }));
  return made;
};

const show = async () => {
  const told = await carried();
  if (!told) return;
  const asked = new URLSearchParams(location.search);
  const { pieces, model, state } = told;
  const chosen = model.table.has(asked.get("check") ?? "") ? asked.get("check") : null;
  const answer = answered(model, state, waiting(), { free: pieces.free, skipped: asked.getAll("skip"), chosen });
  const main = document.getElementById("main");
  const behind = main.querySelector(".behind");
  for (const old of main.querySelectorAll("#main > section.card, .behind > .so-far, #suspects, #means, [data-worked]")) old.remove();
  const card = answer.asked && cardPiece(pieces, answer.asked);
  const { belief } = answer;
  if (card && chosen === null && belief.readings.some(({ check }) => belief.table.checks[check].id === answer.asked)) {
    const more = Object.assign(document.createElement("input"), { type: "hidden", name: "again", value: "true" });
    for (const form of card.querySelectorAll("form[data-draft]")) form.append(more.cloneNode());
  }
  if (card) behind.before(card);
  if (answer.decided || !card) behind.before(verdictPiece(answer, told, false));
  else behind.prepend(verdictPiece(answer, told, true));
  const below = behind.querySelector(".so-far");
  (below ?? { after: (each) => behind.prepend(each) }).after(suspectsPiece(answer, told));
  const { words } = pieces;
  const note = [words.computed, ...(answer.uncounted.length ? [fill(words.uncounted, String(answer.uncounted.length))] : [])].join(" ");
  const line = Object.assign(document.createElement("p"), { className: "soft", textContent: note });
  line.dataset.worked = JSON.stringify({ kind: answer.verdict.kind, repair: answer.verdict.answer?.repair ?? null, probability: answer.verdict.probability, next: answer.advice.stop ? null : answer.advice.candidates[0].check.id, asked: answer.asked });
  behind.prepend(line);
  document.dispatchEvent(new CustomEvent("rungwise:shown"));
};
const goOn = async () => {
  await show();
  const next = document.getElementById("check") ?? document.getElementById("cause");
  next?.focus({ preventScroll: true });
  next?.scrollIntoView({ block: "start" });
};

/** Begins on the page of a call. */
export const begin = async () => {
  shown();
  document.addEventListener("fresh", shownAnew);
  document.addEventListener("rungwise:held", goOn);
  document.addEventListener("rungwise:sent", refresh);
  if (!(await keptAt(`${base}/state`))) return;
  await tell();
  if (document.body.dataset.keptAt || entries.waiting().length) await show();
  else await refresh();
};
