// Timers: the start delay, a discharge, the time that a power-off proof counts. The end of each is
// kept on the phone as a moment, so that neither a reload nor a screen that is off changes it. What
// a browser cannot do while the screen is off is said where the timers stand.
"use strict";
(() => {
  const KEY = "rungwise.timers";
  const AWAKE = "rungwise.awake";
  const KEPT_MS = 3600000; // one that has rung is shown so long, unless somebody clears it
  const box = document.getElementById("timers");
  const words = box.dataset;
  const read = (key) => { try { return JSON.parse(localStorage.getItem(key)) ?? {}; } catch { return {}; } };
  const put = (key, value) => { try { localStorage.setItem(key, JSON.stringify(value)); } catch { /* full: for this page only */ } };
  let held = read(KEY);
  const keep = () => { put(KEY, held); show(); };
  const fill = (text, told) => text.replace(/\{(\w+)\}/g, (_, name) => told[name]);
  const ends = (at) => (at - Date.now() < 600000 ? clock.seconds(at) : clock.time(at));
  const left = (until) => {
    const all = Math.max(0, Math.ceil((until - Date.now()) / 1000));
    const [h, m, s] = [Math.floor(all / 3600), Math.floor(all / 60) % 60, all % 60];
    return `${h ? `${h}:${String(m).padStart(2, "0")}` : m}:${String(s).padStart(2, "0")}`;
  };

  // --- sound: told to the audio clock beforehand, which runs on where a page's timers are slowed --
  let audio;
  const rings = new Map();
  const beeps = (after) => [0, 0.35, 0.7, 1.4, 1.75, 2.1].map((at) => {
    const [tone, loud] = [audio.createOscillator(), audio.createGain()];
    tone.frequency.value = 880;
    loud.gain.value = 0.35;
    tone.connect(loud).connect(audio.destination);
    tone.start(audio.currentTime + after + at);
    tone.stop(audio.currentTime + after + at + 0.2);
    return tone;
  });
  const quiet = (id) => { for (const each of rings.get(id)?.tones ?? []) each.stop(); rings.delete(id); };
  const scheduled = () => {
    if (audio?.state !== "running") return;
    for (const [id, { until, rung }] of Object.entries(held)) {
      if (rung || rings.get(id)?.until === until || until <= Date.now()) continue;
      quiet(id);
      rings.set(id, { until, tones: beeps((until - Date.now()) / 1000) });
    }
  };
  const unlock = async () => { // a browser lets a page sound only once it was touched
    if (!Object.keys(held).length || navigator.userActivation?.hasBeenActive === false) return;
    audio ??= window.AudioContext ? new AudioContext() : null;
    if (audio?.state === "suspended") await audio.resume().catch(() => {});
    scheduled();
  };
  document.addEventListener("pointerdown", unlock, { passive: true });
  document.addEventListener("keydown", unlock);

  // --- the screen stays on while one runs, where somebody chose that ------------------------------
  let lock;
  const running = () => Object.values(held).some(({ until }) => until > Date.now());
  const awake = async () => {
    const wanted = read(AWAKE).on && running() && document.visibilityState === "visible";
    if (wanted && !lock) {
      lock = await navigator.wakeLock?.request("screen").catch(() => null);
      lock?.addEventListener("release", () => { lock = null; });
    } else if (!wanted && lock) lock.release();
  };

  // --- at the end -----------------------------------------------------------------------------------
  const made = (tag, text = "", more = {}) => Object.assign(document.createElement(tag), { textContent: text, ...more });
  const over = async (id, { title, end }) => {
    const text = end || fill(words.up, { title });
    const told = made("p", "", { className: "held" });
    told.append(made("span", text));
    document.getElementById("status").replaceChildren(told);
    navigator.vibrate?.([300, 150, 300, 150, 600]);
    if (!rings.has(id) && audio?.state === "running") beeps(0);
    if (window.Notification?.permission !== "granted") return;
    const worker = await navigator.serviceWorker?.getRegistration().catch(() => null);
    worker?.showNotification(text, { tag: id, requireInteraction: true, vibrate: [300, 150, 300], data: { path: held[id]?.path ?? "/day" }, icon: words.icon }).catch(() => {});
  };
  const ring = () => {
    held = read(KEY); // another tab may have rung it
    const now = Date.now();
    let changed = false;
    for (const [id, each] of Object.entries(held)) {
      if (each.until > now) continue;
      if (!each.rung) { each.rung = now; changed = true; over(id, each); }
      else if (now - each.until > KEPT_MS) { delete held[id]; changed = true; }
    }
    if (changed) keep(); else show();
  };

  // --- what is seen: the time in the head, and behind it each with its end --------------------------
  const key = (text, act) => {
    const made_ = made("button", text, { className: "key small", type: "button" });
    made_.addEventListener("click", act);
    return made_;
  };
  const stop = (id) => { quiet(id); delete held[id]; keep(); };
  const line = ([id, { title, until, rung, end }]) => {
    const item = made("li", "", { className: rung ? "up" : "" });
    const text = rung ? end || fill(words.up, { title }) : title;
    const name = made("span");
    name.append(made("b", text), made("br"), made("span", rung ? ends(until) : fill(words.until, { clock: ends(until) }), { className: "soft" }));
    item.append(name, key(rung ? words.ok : words.stop, () => stop(id)));
    return item;
  };
  const choices = () => {
    const [rows, lacks] = [[], [words.late]];
    if (!("Notification" in window) || !navigator.serviceWorker) lacks.push(words.noNotify);
    else if (Notification.permission === "denied") lacks.push(words.noNotify);
    else if (Notification.permission === "default") rows.push(key(words.notify, async () => { await Notification.requestPermission(); listed = ""; show(); }));
    if (!navigator.wakeLock) lacks.push(words.noAwake);
    else {
      const on = Boolean(read(AWAKE).on);
      const made_ = key(words.awake, () => { put(AWAKE, { on: !on }); listed = ""; awake(); show(); });
      made_.setAttribute("aria-pressed", String(on));
      rows.push(made_);
    }
    return [...rows, made("p", lacks.join(" "), { className: "small-print" })];
  };
  let listed = "";
  const show = () => {
    const all = Object.entries(held).sort(([, a], [, b]) => a.until - b.until);
    box.hidden = !all.length;
    document.cookie = `timers=${all.length ? 1 : 0}; path=/; max-age=${all.length ? 86400 : 0}; samesite=lax`;
    if (!all.length) { box.open = false; return; }
    const [, first] = all.find(([, each]) => !each.rung) ?? all[0];
    const face = box.querySelector("summary");
    face.classList.toggle("up", all.some(([, each]) => each.rung));
    face.querySelector("[data-left]").textContent = first.rung ? "0:00" : left(first.until);
    const share = first.rung ? 1 : 1 - (first.until - Date.now()) / first.total;
    face.querySelector("rect").setAttribute("width", String(Math.round(100 * Math.min(1, Math.max(0, share)))));
    const mark = JSON.stringify(all);
    if (mark === listed) return; // what is under the thumb stays
    listed = mark;
    box.querySelector("ul").replaceChildren(...all.map(line));
    box.querySelector(".choices").replaceChildren(...choices());
  };

  // --- begun: by a key, or by a page that tells of one that runs already ---------------------------
  const start = (id, title, seconds, more = {}) => {
    const until = Date.now() + 1000 * seconds;
    held[id] = { title, until, total: 1000 * seconds, path: location.pathname, ...more };
    keep();
    unlock();
    awake();
  };
  document.addEventListener("click", (event) => {
    const begun = event.target.closest?.("[data-timer]");
    if (!begun) return;
    event.preventDefault();
    const { timer, title, seconds } = begun.dataset;
    quiet(timer);
    start(timer, title, Number(seconds));
    box.open = true;
  });
  const fresh = () => {
    const place = document.querySelector("[data-power]");
    if (!place) return;
    const { power, title, end, leftS, counts } = place.dataset;
    if (!counts) { if (held[power]) stop(power); return; }
    // A page that is shown once more from the phone says how long it was then: the first counts.
    if (held[power]?.counts !== counts) start(power, title, Number(leftS), { counts, end, total: 1000 * Number(place.dataset.totalS) });
  };
  // A live reading or a start ends what was proved with the power off.
  document.addEventListener("submit", ({ target }) => {
    const call = /^\/calls\/\d+/.exec(location.pathname)?.[0];
    const live = target.closest(".card")?.querySelector(".state.live") || /\/proof\/start$/.test(target.action);
    const id = `power-${call?.split("/")[2]}`;
    if (live && held[id]) stop(id);
  });
  document.addEventListener("fresh", fresh);
  document.addEventListener("visibilitychange", () => { ring(); awake(); });
  addEventListener("pageshow", ring);
  addEventListener("storage", ({ key: changed }) => { if (changed === KEY) { held = read(KEY); show(); } });
  fresh();
  ring();
  awake();
  setInterval(ring, 500);
})();
