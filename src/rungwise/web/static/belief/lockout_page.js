// The lock-out page without signal: the next card, what is not so, and the stamp by this clock.

import { answerNow, base, entriesOf, fields, filled, fragment, kept, partOf, put, repeated } from "./carry.js";
import { keepsRunning, rowsAfter, standing, stampOf } from "./lockout.js";

const cut = (root, selector) => { for (const each of root.querySelectorAll(selector)) each.remove(); };

/** Whether the unit runs on: somebody saw it, or the readings speak for it. */
const runsOn = (dead, state, entries, now) => {
  const seen = entries.filter(({ path }) => path === "/dead/runs-on").at(-1);
  if (seen ? (seen.fields.get("seen") ?? "true") === "true" : state.runsOn) return true;
  if (!now) return false;
  const { belief } = now.answer;
  const looked = belief.readings.filter(({ check }) => belief.table.checks[check].id === dead.limits.idle).at(-1);
  const idle = looked ? belief.table.checks[looked.check].choices[looked.value] : null;
  return keepsRunning(dead.limits, dead.runningOn, idle, belief.bySuspect);
};

/** When something was last read or started that nobody can do with the power off. */
const liveSince = (dead, state, entries) => {
  const taken = ({ path, fields: told }) => {
    if (path === "/proof/start") return (told.get("done") ?? "true") === "true";
    const said = told.get("quick") || told.get("typed") || "";
    return ["/readings", "/proof/readings"].includes(path) && dead.live.includes(told.get("check")) && said !== "" && !["-", "can't reach"].includes(said);
  };
  return Math.max(state.live ?? 0, ...entries.filter(taken).map(({ at }) => at));
};

const openLine = ({ step, row, proved, atOnce, leftOut }, words) => {
  const why = row?.refused ? `${row.typed} ${words.unread}` : leftOut ? row.typed : proved ? words[proved].replace(/\.$/, "").toLowerCase() : "";
  return `${atOnce ? step.whatAtOnce : step.what}${why ? `: ${why}` : ""}`;
};

const undoes = (made, { undo }) => {
  if (undo) fields(made, "#undo input[name=check]", undo.lines);
  else cut(made, "#undo, [form=undo]");
};

/** The clock of the power-off proof, in the head of every page. */
const timed = (plan, stamp) => {
  const span = document.querySelector("[data-power]");
  if (!span) return;
  for (const name of ["counts", "leftS", "totalS"]) delete span.dataset[name];
  if (stamp?.stands !== "verified") return;
  Object.assign(span.dataset, { counts: `${clock.time(stamp.at)} ${clock.time(stamp.until)}`, leftS: Math.round((stamp.until - Date.now()) / 1000), totalS: plan.minutes * 60 });
};

const stampPiece = (dead, plan, found, stamp, live, version) => {
  const why = filled(dead.words.powered, { clock: clock.time(live) });
  const told = { at: clock.time(stamp.at), until: clock.time(stamp.until), taken: stamp.taken, asked: stamp.asked, why, version, undo: found.undo?.title ?? "" };
  const made = fragment(filled(plan.stamps[stamp.stands], told));
  repeated(made, "open", found.proof.open.map((each) => openLine(each, dead.words)));
  undoes(made, found);
  for (const each of made.querySelectorAll("[data-runs-out]")) each.removeAttribute("data-runs-out");
  return made;
};

const cardPiece = (found, version) => {
  const { card, undo, same } = found;
  const wrong = card.steps.find(({ state }) => state === "not so");
  const html = wrong ? card.wrong[wrong.step.id] : card.next;
  const made = fragment(filled(html, { version, same, undo: undo?.title ?? "", ...(wrong ? wrong.said : {}) }));
  undoes(made, found);
  if (!same) cut(made, "button[name=quick][value='']");
  return made;
};

/** How many devices of a plan's order are open, from the first on. */
const opened = ({ lines }) => {
  const shut = lines.filter(({ step }) => step.kind === "open").findIndex(({ state }) => state !== "done");
  return shut < 0 ? lines.filter(({ step }) => step.kind === "open").length : shut;
};

let again;
export const show = async () => {
  const [{ dead }, done, now] = await Promise.all([kept(`${base}/work`), kept(`${base}/done`), answerNow()]);
  const all = entriesOf();
  const part = now ? partOf(now, Object.keys(dead.scopeOf)) : "";
  const told = all.filter(({ path }) => path === "/dead").at(-1)?.fields.get("check")?.split("-")[0];
  const hands = new URLSearchParams(location.search).get("hands") || told || done.dead.begun;
  const place = document.querySelector("[data-now]");
  const words = now?.pieces.words.away ?? "";
  clearTimeout(again);
  if (!hands) { put(place, fragment(filled(dead.asked[part ? dead.scopeOf[part] : ""], { part: dead.titles[part] ?? "" })), words); return; }
  const key = `${hands}${runsOn(dead, done.dead, all, now) ? " on" : ""}`;
  const plan = dead.plans[key];
  if (plan.refused) { put(place, fragment(plan.refused), words); return; }
  const found = standing(plan, rowsAfter(plan, done.dead.plans[key], all));
  const live = liveSince(dead, done.dead, all);
  const stamp = stampOf(plan, found, Date.now(), live);
  timed(plan, stamp);
  put(place, stamp ? stampPiece(dead, plan, found, stamp, live, done.version) : cardPiece(found, done.version), words);
  if (stamp && stamp.until > Date.now()) again = setTimeout(show, stamp.until - Date.now() + 1000);
  const off = found.lines.some(({ step, state }) => step.kind === "stop" && state === "done") ? 1 : 0;
  document.getElementById("live")?.replaceWith(fragment(plan.live[opened(found)][off]));
  cut(document, "#proof, #steps, #picture"); // as they were; the stamp says what counts now
};
