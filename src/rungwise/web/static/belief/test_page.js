// The test's page without signal: one thing after another, each reading judged by carried limits.

import { answerNow, base, entriesOf, filled, fragment, kept, put } from "./carry.js";
import { fittedAfter } from "./part_page.js";
import { eventsAfter, nextOf, standingOf } from "./proof.js";
import { readingText } from "./wording.js";

const capital = (text) => text.slice(0, 1).toUpperCase() + text.slice(1);
const listed = (text) => text.split(",").map((each) => each.trim()).filter(Boolean);

/** Names of what was repaired: told, else the parts that were fitted, else what was found. */
const repairedOf = (done, entries, now) => {
  let names = listed(done.test.repaired);
  for (const { path, fields } of entries) {
    if (path !== "/proof/repaired") continue;
    names = names.filter((each) => each !== fields.get("drop"));
    if (fields.get("add") && !names.includes(fields.get("add"))) names.push(fields.get("add"));
  }
  if (names.length) return names;
  const fitted = Object.keys(fittedAfter(done.fitted, entries));
  if (fitted.length) return fitted;
  return now?.answer.decided && now.answer.verdict.answer ? [now.answer.verdict.answer.suspect.part] : [];
};

/** What is read after all these repairs: of each its own, nothing twice. */
const testOf = async (names) => {
  const found = [];
  for (const name of names) {
    const along = (await kept(`${base}/part/${name}`)) ?? (await kept(`${base}/test/${name}`));
    if (along?.test) found.push(along.test);
  }
  if (!found.length) return null;
  const [first, ...others] = found;
  const known = new Set(Object.keys(first.checks));
  const more = others.flatMap(({ ways }) => ways).filter(({ doing, id }) => doing === "check" && !known.has(id) && known.add(id));
  return { ways: [...first.ways, ...more], checks: Object.assign({}, ...found.map(({ checks }) => checks)) };
};

const oddText = (words, card, { value }) => filled(words.odd, { check: capital(card.title), reading: readingText(card, value), band: card.band });
const plain = (html) => fragment(html).textContent;

const checkPiece = (along, id, standing, now, { words, version }) => {
  const card = along.checks[id];
  const was = standing.readings.get(id);
  const place = now?.answer.belief.readings.filter(({ check }) => now.model.table.checks[check].id === id).at(-1);
  const last = card.form === "number" && place ? readingText(card, place.value) : "";
  const what = was?.level === "again" ? plain(oddText(words, card, was)) : "";
  const made = fragment(filled(card.html, { version, last, what }));
  if (!what) made.querySelector("[data-again]")?.remove();
  if (!last) made.querySelector("button[name=quick][value='']")?.closest("form").remove();
  return made;
};

const endPiece = (along, ends, next, { readings }, words) => {
  const all = [...readings.values()];
  const bad = all.find(({ level }) => level === "refuse");
  const at = Math.max(0, ...all.map((each) => each.at));
  const count = all.filter(({ level }) => level === "good" || level === "caution").length;
  const what = bad ? plain(oddText(words, along.checks[bad.check], bad)) : "";
  return fragment(filled(ends[next.end], { clock: at ? clock.time(at) : "--:--", count, what }));
};

export const show = async () => {
  const [{ test }, done, now] = await Promise.all([kept(`${base}/work`), kept(`${base}/done`), answerNow()]);
  const all = entriesOf();
  const words = now?.pieces.words ?? {};
  const place = document.querySelector("[data-now]");
  const names = repairedOf(done, all, now);
  const version = done.version;
  const along = names.length ? await testOf(names) : null;
  let made;
  let standing = { readings: new Map(), ticked: new Set() };
  if (!names.length) made = fragment(filled(test.repaired, { version }));
  else if (!along) made = fragment(filled(test.ends.unknown, { version }));
  else {
    const events = eventsAfter(done.test, all, along.checks);
    standing = standingOf(events, along.checks);
    const next = nextOf(along, test.starts, standing, new URLSearchParams(location.search).get("check") ?? "");
    if (next.doing === "start") made = fragment(filled(test.starts[next.at].html, { version }));
    else if (next.doing === "looks") made = fragment(filled(next.html, { version }));
    else if (next.doing === "check") made = checkPiece(along, next.id, standing, now, { words, version });
    else made = endPiece(along, test.ends, next, standing, words);
    if (!events.length) made.querySelector("form.undo")?.remove();
    place.dataset.tested = JSON.stringify({ next: next.id ?? next.end ?? next.doing, levels: Object.fromEntries([...standing.readings].map(([id, { level }]) => [id, level])) });
  }
  for (const id of ["verdict", "worth", "readings", "figures", "start"]) document.getElementById(id)?.remove();
  put(place, made, words.away);
};
