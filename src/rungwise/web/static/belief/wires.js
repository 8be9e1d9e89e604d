// Wires as found and left without signal: what was entered, what is next, and what a slip does.
// The server's own is web/pages/wires.

const OFF = "off";

/** What was entered of a part's wires: { part, found, left }, after entries { path, fields }, oldest first. */
export const draftAfter = (draft, part, ends, entries) => {
  let now = { part: draft.part, found: { ...draft.found }, left: { ...draft.left } };
  const undone = { found: [now.found], left: [now.left] };
  const about = (of) => { if (now.part !== of) { now = { ...now, part: of, left: {} }; undone.left = [now.left]; } };
  for (const { path, fields } of entries) {
    const of = fields.get("of");
    const told = /^\/wires\/(all-)?(found|left)$/.exec(path);
    if (!(told || path === "/wires/undo")) continue;
    about(of);
    if (of !== part) continue;
    const stage = told ? told[2] : fields.get("stage");
    const held = told ? { ...now[stage] } : before(undone[stage], now[stage]);
    if (told && told[1]) for (const each of ends) held[each.wire] ??= { from: each.from, to: each.to };
    else if (told) {
      const end = ends.find((each) => each.wire === fields.get("wire") && each.meant === fields.get("meant"));
      if (!end) continue;
      const was = held[end.wire] ?? {};
      const at = fields.get("at") || end.meant;
      held[end.wire] = at === OFF ? { off: true } : { from: was.from ?? end.from, to: was.to ?? end.to, [end.side]: `${part}.${at}` };
    }
    now = { ...now, [stage]: held };
    undone[stage].push(held);
  }
  about(part);
  return now;
};
const many = (entry) => Object.keys(entry).length;
const before = (all, now) => [...all].reverse().find((each) => many(each) < many(now)) ?? {};

/** The terminal that an end is told to be on, "" where nothing was told. */
export const told = (entry, end) => (!entry ? "" : entry.off ? OFF : String(entry[end.side] ?? end[end.side]).split(".").slice(1).join("."));

/** The ends that are told to be elsewhere than meant, by their keys; a wire that is off once. */
export const slipsOf = (stage, ends) => {
  const off = new Set();
  return ends.flatMap((end) => {
    const at = told(stage[end.wire], end);
    if (!at || at === end.meant || (at === OFF && off.has(end.wire))) return [];
    if (at === OFF) off.add(end.wire);
    return [`${end.wire} ${end.meant} ${at}`];
  });
};

/** The list of moves, null where it cannot be told without signal. */
export const movesOf = (fresh, slips) => {
  if (!fresh?.lists || slips.length > 1) return null;
  const list = fresh.lists[slips[0] ?? ""];
  return list ? list.map((at) => { const [text, work, care, wire] = fresh.moves[at]; return { text, work, care, wire }; }) : null;
};

/** What is next: { doing, at, number, of }; moved: which moves are made. asked: the stage that was asked for. */
export const nextOf = (ends, draft, moved, asked) => {
  const found = ends.findIndex((end) => !told(draft.found[end.wire], end));
  const left = ends.findIndex((end) => !told(draft.left[end.wire], end));
  const count = (stage) => ends.filter((end) => told(draft[stage][end.wire], end)).length;
  if (found >= 0 && ["", "found"].includes(asked)) return { doing: "found", at: found, number: count("found") + 1, of: ends.length };
  const move = found >= 0 || !moved ? -1 : moved.findIndex((each) => !each);
  if (move >= 0 && ["", "moves"].includes(asked) && !(asked === "" && count("left"))) {
    return { doing: "moves", at: move, number: moved.filter(Boolean).length + 1, of: moved.length };
  }
  if (left >= 0) return { doing: "left", at: left, number: count("left") + 1, of: ends.length };
  return { doing: "end", at: -1, number: ends.length, of: ends.length };
};
