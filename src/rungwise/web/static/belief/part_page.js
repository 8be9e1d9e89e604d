// The part's page without signal: what of the van serves, and what was fitted on this phone.

import { answerNow, base, entriesOf, filled, fragment, kept, partOf, put } from "./carry.js";

const query = () => new URLSearchParams(location.search);

/** What is fitted where, after what waits on this phone: by part { name, who, at }. */
export const fittedAfter = (fitted, entries) => {
  const found = { ...fitted };
  for (const { path, fields, who, at } of entries) {
    if (path === "/part" && fields.get("name")) found[fields.get("of")] = { name: fields.get("name"), who, at };
    if (path === "/part/none") delete found[fields.get("of")];
  }
  return found;
};

/** The part to show: asked for, else fitted, else what the call is about. */
export const partShown = (work, fitted, now, begun = "") => {
  const parts = Object.keys(work.dead.scopeOf);
  const ours = [query().get("of"), ...Object.keys(fitted), begun, now ? partOf(now, parts) : ""];
  return ours.find((name) => parts.includes(name)) ?? parts[0];
};

/** Of each of the van's parts how many are left; one that is not counted is never used up. */
const left = (counts, fitted, before) => {
  const used = (some, name) => Object.values(some).filter((each) => each.name === name).length;
  return (name) => (typeof counts[name] === "number" ? counts[name] - used(fitted, name) + used(before, name) : Infinity);
};

export const show = async () => {
  const [work, done, now] = await Promise.all([kept(`${base}/work`), kept(`${base}/done`), answerNow()]);
  const fitted = fittedAfter(done.fitted, entriesOf());
  const part = partShown(work, fitted, now);
  const along = await kept(`${base}/part/${part}`);
  const words = now?.pieces.words ?? {};
  const place = document.querySelector("[data-now]");
  if (!along) { put(place, Object.assign(document.createElement("p"), { textContent: words.notAlong }), words.away); return; }
  const { card, behind, fitted: cards, counts } = along.part;
  const here = fitted[part];
  const told = { version: done.version, who: here?.who ?? "", at: here ? clock.time(here.at) : "" };
  const rest = left(counts, fitted, done.fitted);
  const [above, below] = [here && cards[here.name] ? cards[here.name] : card, behind].map((html) => fragment(filled(html, told)));
  for (const made of [above, below]) {
    for (const key of made.querySelectorAll("button[name=name]")) if (rest(key.value) <= 0) { key.disabled = true; key.textContent = `${key.textContent}: ${words.none}`; }
  }
  document.querySelector("[data-behind]").replaceChildren(below);
  put(place, above, words.away);
};
