// What was typed and is not yet written down by the server. Each entry lies on the phone under an
// id of its own, and only the server's receipt that names this id takes it away. What the server
// refuses for good stays in sight, with its words, until a person throws it away.
"use strict";
const entries = (() => {
  const MARK = "rungwise.entry ";
  const OLD = "rungwise.unsent";
  const WAIT_MS = 20000;
  const FILE_WAIT_MS = 120000;
  const LOCK_MS = 8000;
  const words = JSON.parse(document.getElementById("status").dataset.words); // in the page's language
  const nowhere = { getItem: () => null, removeItem: () => {}, setItem: () => { throw new Error("no room"); } };
  const disk = (() => { try { return localStorage; } catch { return nowhere; } })();
  // Photos lie beside their entry, under its id: the storage of the others holds text only.
  const files = (() => {
    const open = () => new Promise((done, failed) => {
      const asked = indexedDB.open("rungwise", 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore("files");
      asked.onsuccess = () => done(asked.result);
      asked.onerror = () => failed(asked.error);
    });
    const run = async (mode, act) => {
      const base = await open();
      try {
        return await new Promise((done, failed) => {
          const deal = base.transaction("files", mode);
          const asked = act(deal.objectStore("files"));
          deal.oncomplete = () => done(asked.result);
          deal.onerror = deal.onabort = () => failed(deal.error);
        });
      } finally { base.close(); }
    };
    return {
      put: (id, list) => run("readwrite", (store) => store.put(list, id)),
      get: (id) => run("readonly", (store) => store.get(id)),
      drop: (id) => run("readwrite", (store) => store.delete(id)).catch(() => {}),
    };
  })();
  const memory = new Map(); // where the phone keeps nothing, for as long as the page is open
  const outcomes = new Map();
  let changed = () => {};

  // --- one entry, one key: two tabs cannot write over each other's ---------------------------
  const fresh = () => [...crypto.getRandomValues(new Uint8Array(12))].map((each) => each.toString(16).padStart(2, "0")).join("");
  const read = (text) => { try { return JSON.parse(text); } catch { return null; } };
  const held = (id) => memory.get(id) ?? read(disk.getItem(MARK + id));
  const put = (entry) => {
    try { disk.setItem(MARK + entry.id, JSON.stringify(entry)); memory.delete(entry.id); }
    catch { memory.set(entry.id, entry); }
    changed();
  };
  const drop = (id) => {
    if (held(id)?.files) files.drop(id);
    memory.delete(id);
    disk.removeItem(MARK + id);
    changed();
  };
  const all = () => {
    const ids = Object.keys(disk).filter((key) => key.startsWith(MARK)).map((key) => key.slice(MARK.length));
    return [...new Set([...ids, ...memory.keys()])].map(held).filter(Boolean).sort((a, b) => a.at - b.at || a.turn - b.turn);
  };
  const waiting = () => all().filter((each) => !each.words);
  const refused = () => all().filter((each) => each.words);
  let turn = 0;
  const add = async (url, body, label, typed, photos = []) => {
    const entry = { id: fresh(), url, body, label, typed, at: Date.now(), turn: turn += 1, person: document.body.dataset.person, who: document.body.dataset.who };
    if (photos.length) {
      await files.put(entry.id, photos); // first: an entry in sight has its photo
      entry.files = true;
    }
    put(entry);
    return entry.id;
  };

  // --- sending: kept, refused for good, or later ----------------------------------------------
  const told = async (answer) => read(await answer.text().catch(() => "")) ?? {};
  const wordsOf = ({ error }) => error && [error.what, error.allowed && words.allowed.replace("{values}", () => error.allowed), error.next_step && `${error.next_step[0].toUpperCase()}${error.next_step.slice(1)}.`].filter(Boolean).join(" ");
  const send = async (entry) => {
    const form = entry.body.filter(([name]) => name !== "token");
    const fields = [...form, ["token", entry.id], ["told_at", entry.at], ["sent_at", Date.now()], ["told_by", entry.person ?? ""]];
    const photos = entry.files ? await files.get(entry.id).catch(() => null) : [];
    if (!photos) return { words: words.photoGone };
    const body = photos.length ? new FormData() : new URLSearchParams(fields);
    if (photos.length) for (const each of [...fields, ...photos]) body.append(...each);
    const headers = { accept: "application/json", "rungwise-entry": entry.id };
    const answer = await fetch(entry.url, { method: "POST", body, headers, redirect: "manual", signal: AbortSignal.timeout?.(photos.length ? FILE_WAIT_MS : WAIT_MS) });
    const said = await told(answer);
    if (answer.headers.get("rungwise-kept") === entry.id) return { kept: said };
    if (answer.headers.get("rungwise-refused") === entry.id) return { words: wordsOf(said) ?? words.refuses.replace("{code}", answer.status) };
    return { later: wordsOf(said) ?? (answer.status >= 500 ? words.cannot : words.stranger), own: Boolean(said.error), fault: answer.status === 500 };
  };
  let why = "";
  const work = async () => {
    const tried = new Set(); // at a page that fails, what comes behind is sent all the same
    for (let next; (next = waiting().find((each) => !tried.has(each.id)));) {
      let outcome;
      try { outcome = await send(next); } catch { outcome = { later: words.noSignal }; }
      tried.add(next.id);
      why = outcome.later ?? "";
      outcomes.set(next.id, outcome);
      if (outcome.kept) drop(next.id);
      else if (outcome.words && held(next.id)) put({ ...next, words: outcome.words });
      else if (!(outcome.fault && outcome.own)) break;
    }
  };
  // Without locks, and where a sleeping tab holds one, both tabs may send the same entry: the
  // server keeps it once, and each tab takes away by its id only what is receipted.
  const alone = () => {
    if (!navigator.locks) return work();
    let began = false;
    const mine = () => { began = true; return work(); };
    return navigator.locks.request("rungwise.entries", { signal: AbortSignal.timeout?.(LOCK_MS) }, mine).catch((fault) => { if (!began) return work(); throw fault; });
  };
  let running = null;
  const drain = () => (running ??= alone().finally(() => { running = null; changed(); }));
  // What became of one entry: { kept }, { words }, or { later }.
  const settle = async (id) => {
    await drain();
    if (!outcomes.has(id) && held(id) && !why) await drain(); // it came in as the last one left
    const entry = held(id);
    if (!entry) return { kept: outcomes.get(id)?.kept ?? {} };
    return entry.words ? { words: entry.words } : { later: why || words.noSignal };
  };

  // An older page kept them all under one key.
  for (const each of read(disk.getItem(OLD)) ?? []) put({ ...each, body: each.body.filter(([name]) => name !== "kind"), id: fresh(), turn: turn += 1, typed: "", person: document.body.dataset.person, who: document.body.dataset.who });
  disk.removeItem(OLD);

  return {
    add, all, drain, drop, refused, settle, waiting,
    again: (id) => { const { words, ...entry } = held(id) ?? {}; if (entry.id) put(entry); return drain(); },
    onchange: (call) => { changed = call; addEventListener("storage", ({ key }) => { if (key === null || key.startsWith(MARK)) call(); }); },
    why: () => why,
  };
})();
