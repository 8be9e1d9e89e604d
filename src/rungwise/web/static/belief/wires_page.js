// The wires' page without signal: one wire after another, the moves, and what a slip does.

import { answerNow, base, entriesOf, filled, fragment, kept, put } from "./carry.js";
import { fittedAfter, partShown } from "./part_page.js";
import { draftAfter, movesOf, nextOf, slipsOf, told as onTerminal } from "./wires.js";

const capital = (text) => text.slice(0, 1).toUpperCase() + text.slice(1);
const note = (text) => Object.assign(document.createElement("p"), { className: "soft", textContent: text });

/** Which moves of the list are made: ticked when taken along, or on this phone since. */
const movedOf = (list, ticked, part, entries) => {
  const made = list.map(({ text }, at) => ticked?.[at + 1] === text);
  for (const { path, fields } of entries) {
    if (path !== "/wires/move" || fields.get("of") !== part) continue;
    const at = Number(fields.get("step")) - 1;
    if (list[at]?.text === fields.get("text")) made[at] = (fields.get("done") ?? "true") === "true";
  }
  return made;
};

/** The key that takes the last move back, in the place of the one that takes a wire back. */
const moveBack = (made, list, moved) => {
  const at = moved.lastIndexOf(true);
  const form = made.querySelector("form[action$='/undo']");
  if (at < 0 || !form) return;
  form.setAttribute("action", form.getAttribute("action").replace(/undo$/, "move"));
  for (const [name, value] of [["step", at + 1], ["text", list[at].text]]) form.append(Object.assign(document.createElement("input"), { type: "hidden", name, value }));
  Object.assign(form.querySelector("button"), { name: "done", value: "false" });
};
const movePiece = (fresh, next, list) => {
  const { text, work, care } = list[next.at];
  const made = fragment(filled(next.number === 1 ? fresh.first : fresh.next, { number: next.number, of: next.of, step: next.at + 1, text, work, care }));
  const lines = made.querySelectorAll("p");
  for (const line of lines) {
    if (line.textContent === text) line.textContent = capital(text);
    else if (line.textContent === work && !work) line.remove();
    else if (line.textContent === `${care}.`) { if (care) line.textContent = capital(`${care}.`); else line.remove(); }
  }
  return made;
};

const endPiece = (wires, fresh, draft, slips, words) => {
  const whole = wires.ends.every((end) => onTerminal(draft.found[end.wire], end));
  const other = fresh && !fresh.same;
  const passes = !slips.length ? fresh?.passes !== false : slips.length === 1 && !other && wires.slips[slips[0]].passes;
  const made = fragment(wires.end[whole ? (passes ? "passes" : "wrong") : "unfound"]);
  const entry = made.querySelector(".entry");
  const box = document.createElement("div");
  if (whole) for (const slip of slips) box.append(fragment(wires.slips[slip].html));
  if (whole && (slips.length > 1 || (other && slips.length))) box.append(note(words.together));
  entry.before(box);
  return made;
};

/** What comes of a wire where it was just told to be: the one thing to read before the next. */
const seen = new Set();
const slipPiece = (wires, slips, stage) => {
  const made = fragment(wires.slip);
  const entry = made.querySelector(".entry");
  const box = document.createElement("div");
  for (const slip of slips) box.append(fragment(wires.slips[slip].html));
  entry.before(box);
  for (const key of made.querySelectorAll("button[name=stage]")) key.value = stage;
  made.querySelector("[data-goes-on]").addEventListener("click", () => { for (const slip of slips) seen.add(`${stage} ${slip}`); show(); });
  return made;
};

/** The picture with the wire that is asked for. */
const draw = (behind, pictures, wire) => {
  const tokens = pictures.base.match(/<[^>]*>|[^<]+/g);
  for (const [from, to, text] of [...(pictures.patches[wire] ?? [])].reverse()) tokens.splice(from, to - from, text);
  const svg = behind.querySelector(".drawing svg");
  svg?.replaceWith(fragment(tokens.join("")));
};

/** The lists behind one tap, with what was entered on their keys. */
const marked = (behind, draft, ends) => {
  for (const stage of ["found", "left"]) {
    const list = behind.querySelector(stage === "found" ? "#found" : "#left");
    for (const end of ends) {
      const at = onTerminal(draft[stage][end.wire], end);
      for (const key of list?.querySelectorAll(`#${CSS.escape(`${stage}-${end.wire}-${end.meant}`)} button[name=at]`) ?? []) key.setAttribute("aria-pressed", String(key.value === at));
    }
    const count = ends.filter((end) => onTerminal(draft[stage][end.wire], end)).length;
    const beside = list?.querySelector("summary .beside");
    if (beside) beside.textContent = beside.textContent.replace(/\d+/, String(count));
  }
};

export const show = async () => {
  const [work, done, now] = await Promise.all([kept(`${base}/work`), kept(`${base}/done`), answerNow()]);
  const all = entriesOf();
  const fitted = fittedAfter(done.fitted, all);
  const begun = all.filter(({ path }) => path.startsWith("/wires/")).at(-1)?.fields.get("of") ?? done.wires.part;
  const part = partShown(work, fitted, now, begun);
  const wires = (await kept(`${base}/part/${part}`))?.wires;
  const words = now?.pieces.words ?? {};
  const place = document.querySelector("[data-now]");
  if (!wires) { put(place, note(words.notAlong), words.away); return; }
  const draft = draftAfter(done.wires, part, wires.ends, all);
  const fresh = fitted[part] ? wires.new[fitted[part].name] : wires.new[""];
  const found = slipsOf(draft.found, wires.ends);
  const list = movesOf(fresh, found);
  const moved = list && movedOf(list, done.wires.ticked[part], part, all);
  const next = nextOf(wires.ends, draft, moved, new URLSearchParams(location.search).get("step") ?? "");
  const slips = next.doing === "found" ? found : next.doing === "moves" ? [] : slipsOf(draft.left, wires.ends);
  let made;
  if (next.doing === "end") made = endPiece(wires, fresh, draft, slips, words);
  else if (next.doing === "moves") made = movePiece(fresh, next, list);
  else made = fragment(filled(wires[next.doing][next.at], { number: next.number }));
  const card = made.firstElementChild;
  const news = next.doing === "moves" ? [] : slips.filter((slip) => !seen.has(`${next.doing} ${slip}`));
  if (news.length && next.doing !== "end") { put(place, slipPiece(wires, news, next.doing), words.away); return; }
  if (next.doing === "left" && !list && found.length) card.querySelector(".head").after(note(words.moves));
  if (!Object.keys(draft[next.doing === "end" || (next.doing === "left" && Object.keys(draft.left).length) ? "left" : "found"]).length) made.querySelector("form[action$='/undo']")?.remove();
  else for (const key of made.querySelectorAll("button[name=stage]")) key.value = next.doing === "end" || (next.doing === "left" && Object.keys(draft.left).length) ? "left" : "found";
  if (next.doing === "moves") moveBack(made, list, moved);
  const behind = fragment(wires.behind);
  marked(behind, draft, wires.ends);
  draw(behind, wires.pictures, next.doing === "moves" ? list[next.at].wire : wires.ends[next.at]?.wire ?? "");
  document.querySelector("[data-behind]").replaceChildren(behind);
  put(place, made, words.away);
};
