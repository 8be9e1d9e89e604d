// What a phone has along of a call, and how pieces that were drawn by the server are filled.

import { answered } from "./call.js";
import { carriedTable } from "./carried.js";
import { ReadingModel } from "./reading_model.js";

const STORE = "rungwise-along";
export const SLOT = "\uFFFC";

/** The call that the page is about, and where its package lies. */
export const number = document.querySelector("[data-call]")?.dataset.call;
export const base = `/calls/${number}/along`;

const store = () => caches.open(STORE);

// --- keeping ---------------------------------------------------------------------------------
const fetched = async (path) => {
  const answer = await fetch(path, { credentials: "same-origin" });
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  return answer;
};
export const keep = async (path) => {
  const body = await (await fetched(path)).blob();
  await (await store()).put(path, new Response(body, { headers: { "rungwise-kept-at": String(Date.now()) } }));
};
const found = async (path) => (await store()).match(path);
export const keptAt = async (path) => Number((await found(path))?.headers.get("rungwise-kept-at") ?? 0);
/** A piece of the package, null where it was not taken along. */
export const kept = async (path) => (await found(path))?.json() ?? null;

let model = null;
export const forget = () => { model = null; };
/** The cards of the call, its state when it was taken along, and the unit's table; null without. */
export const carried = async () => {
  const [pieces, state, table] = await Promise.all([kept(base), kept(`${base}/state`), found(`${base}/table`)]);
  if (!pieces || !state || !table) return null;
  model ??= new ReadingModel(carriedTable(new Uint8Array(await table.arrayBuffer())));
  return { pieces, state, model };
};

// --- what waits on this phone ----------------------------------------------------------------
/** Entries of this call that wait: { path, fields, at, person, who }, oldest first. */
export const entriesOf = () => {
  const own = `/calls/${number}`;
  const all = entries.waiting().map((each) => ({ ...each, path: new URL(each.url, location.href).pathname, fields: new URLSearchParams(each.body) }));
  return all.filter(({ path }) => path.startsWith(`${own}/`)).map((each) => ({ ...each, path: each.path.slice(own.length) }));
};
export const waiting = () => entriesOf().filter(({ path }) => path === "/readings").map(({ body }) => Object.fromEntries(body));

let last = { of: "", told: null };
/** What the phone makes of the call: as `answered`, null where it was not taken along. */
export const answerNow = async () => {
  const of = JSON.stringify([await keptAt(`${base}/state`), waiting()]);
  if (last.of === of) return last.told; // a step of the work moves no belief
  const told = await carried();
  last = { of, told: told && { ...told, answer: answered(told.model, told.state, waiting(), { free: told.pieces.free }) } };
  return last.told;
};

/** The part that the work is about: found, else suspected by somebody, else likeliest. */
export const partOf = ({ answer, state }, parts) => {
  const best = answer.verdict.answer?.suspect.part ?? "";
  return [answer.decided ? best : "", state.suspected, best].find((name) => name && parts.includes(name)) ?? "";
};

// --- pieces ----------------------------------------------------------------------------------
const safe = (text) => String(text).replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`);
/** HTML with its places filled: told by their names. */
export const filled = (html, told) => html.replace(/\uFFFC(\w+)\uFFFC/g, (whole, name) => (name in told ? safe(told[name]) : whole));
export const fragment = (html) => {
  const made = document.createElement("template");
  made.innerHTML = html.trim();
  return made.content;
};
export const pieceOf = (html) => fragment(html).firstElementChild;
export const fill = (pattern, text) => pattern.replace(SLOT, text);

/** The element whose own text has a place, repeated for each text; gone where there is none. */
export const repeated = (root, name, texts) => {
  const sign = `${SLOT}${name}${SLOT}`;
  for (const each of [...root.querySelectorAll("*")].filter((it) => !it.children.length && it.textContent.toLowerCase().includes(sign.toLowerCase()))) {
    each.replaceWith(...texts.map((text) => Object.assign(each.cloneNode(), { textContent: text })));
  }
};
/** A hidden field once for each value. */
export const fields = (root, selector, values) => {
  for (const each of root.querySelectorAll(selector)) each.replaceWith(...values.map((value) => { const one = each.cloneNode(); one.setAttribute("value", value); return one; }));
};

/** Puts what the phone made in the place of what stood there, and says that it is its own. */
export const put = (place, piece, words) => {
  place.replaceChildren(piece);
  place.dataset.shown = String(Number(place.dataset.shown ?? 0) + 1);
  const banner = document.getElementById("kept-copy");
  if (words && !banner.hidden) { banner.textContent = words; banner.dataset.worked = ""; }
  document.dispatchEvent(new CustomEvent("rungwise:shown"));
};

/** With signal, once nothing waits: what was told since the call was taken along. */
export const refresh = async () => {
  if (navigator.onLine === false || entries.waiting().length || !(await keptAt(`${base}/state`))) return;
  for (const path of ["state", "done"]) await keep(`${base}/${path}`).catch(() => {});
};
