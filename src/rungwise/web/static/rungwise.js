// Every page works without this. With it, a form is saved without a new page, a field as it is
// left, and what cannot be sent for want of signal waits on the phone and is tried again.
"use strict";
(() => {
  const AGAIN_MS = 5000;
  const SLOW_MS = 2500;
  const LONG_MS = 9000; // the tray tells it for as long as it holds
  const status = document.getElementById("status");
  let quiet;
  const words = JSON.parse(document.getElementById("status").dataset.words); // in the page's language
  const fill = (text, told) => text.replace(/\{(\w+)\}/g, (_, name) => told[name]);
  // then: what comes next stands on the page already: it is for the ear, and covers no key.
  const say = (text, ms = 4000, { good = false, then = "" } = {}) => {
    clearTimeout(quiet);
    const line = document.createElement("p");
    line.append(Object.assign(document.createElement("span"), { textContent: text }));
    line.className = good ? "" : "held";
    if (then) line.append(Object.assign(document.createElement("span"), { className: "unseen", textContent: ` ${then}` }));
    status.replaceChildren(line);
    if (ms) quiet = setTimeout(() => status.replaceChildren(), ms);
  };

  // --- what was typed and not yet saved, kept through a reload --------------------------------
  const draftKey = (field) => `rungwise.draft ${location.pathname} ${field.form?.dataset.draft ?? ""} ${field.name}`;
  const drafted = (root) => {
    for (const field of root.querySelectorAll("form[data-draft] input[type=text], form[data-draft] textarea")) {
      const draft = sessionStorage.getItem(draftKey(field));
      if (draft !== null && draft !== field.value) { field.value = draft; field.dataset.unsaved = ""; }
    }
  };
  const forget = (form) => {
    for (const field of form.elements) if (field.name) sessionStorage.removeItem(draftKey(field));
  };
  document.addEventListener("input", ({ target }) => {
    if (target.form && "draft" in target.form.dataset) {
      try { sessionStorage.setItem(draftKey(target), target.value); } catch { /* full: no draft */ }
    }
  });

  // --- what lies on this phone, in sight -----------------------------------------------------
  const tray = document.getElementById("tray");
  const made = (tag, text = "", more = {}) => Object.assign(document.createElement(tag), { textContent: text, ...more });
  const count = (left) => (left === 1 ? words.one : fill(words.more, { n: left }));
  const line = (entry) => {
    const item = made("li");
    item.append(made("b", entry.label), " ");
    if (entry.typed) item.append(made("span", entry.typed, { className: "figure" }), " ");
    item.append(made("span", [entry.who, clock.day(entry.at)].filter(Boolean).join(", "), { className: "soft" }));
    return item;
  };
  const keys = (entry) => {
    const both = made("div", "", { className: "keys" });
    const again = made("button", words.again, { className: "key small", type: "button" });
    const away = made("button", words.away, { className: "key small", type: "button" });
    again.addEventListener("click", async () => { await entries.again(entry.id); retried(); });
    away.addEventListener("click", () => { entries.drop(entry.id); document.getElementById("main").focus(); });
    both.append(again, away);
    return both;
  };
  const show = () => {
    // What is on its way just now moves nothing on the page.
    const late = entries.waiting().filter(({ at }) => at < sent);
    const no = entries.refused();
    const open = tray.querySelector("details")?.open;
    tray.hidden = !(late.length || no.length);
    const parts = [];
    if (no.length) {
      const list = made("ul");
      for (const each of no) {
        const item = line(each);
        item.append(made("p", each.words, { className: "wrong" }), keys(each));
        list.append(item);
      }
      parts.push(made("h2", fill(words.refused, { n: no.length })), list);
    }
    if (late.length) {
      const more = made("details", "", { open: Boolean(open) });
      const list = made("ul");
      list.append(...late.map(line));
      const head = made("summary");
      head.append(made("span", `${entries.why() ? `${entries.why()} ` : ""}${count(late.length)}`));
      more.append(head, list);
      parts.push(more);
    }
    tray.replaceChildren(...parts);
  };
  let own = 0; // entries that a person has just made, and is shown the outcome of
  let sent = Infinity; // when the one that is on its way was made
  entries.onchange(show);
  const waiting = () => {
    const left = entries.waiting().length;
    if (left) say(`${entries.why() || words.noSignal} ${count(left)}`, LONG_MS);
  };
  const settled = async (slow, ...made) => {
    own += 1;
    sent = Date.now();
    const late = setTimeout(() => { sent = Infinity; slow(); show(); }, SLOW_MS); // with half a signal nobody waits to type the next
    try { return await entries.settle(await entries.add(...made)); } finally { own -= 1; clearTimeout(late); sent = Infinity; show(); }
  };
  // The number pad takes no focus, and the key that saves takes it from the field.
  const inHand = () => document.activeElement?.matches("input, textarea, select") ||
    [...document.querySelectorAll("section.check form[data-draft] input[type=text]")].some((field) => field.value !== field.defaultValue);
  // The page as the server has it now: a copy of before never takes the place of what is shown.
  const pageNow = async (url) => {
    const page = await fetch(url, { headers: { accept: "text/html", "rungwise-now": "1" } }).catch(() => null);
    return page?.headers.has("rungwise-from") ? null : page;
  };
  const pause = (ms) => new Promise((done) => { setTimeout(done, ms); });
  const retried = async () => {
    if (own) return;
    const before = entries.waiting().length;
    if (before) await entries.drain();
    const [left, no] = [entries.waiting().length, entries.refused().length];
    if (left || !before) { if (left < before) waiting(); return; }
    document.dispatchEvent(new Event("rungwise:sent"));
    say(no ? words.someSent : words.allSent, undefined, { good: !no });
    const page = await pageNow(location.href);
    const text = page?.ok && await page.text(); // first: whoever types meanwhile keeps the page
    if (text && !inHand()) put(page, text);
  };
  addEventListener("online", retried);
  setInterval(retried, AGAIN_MS);

  // --- a form saved in place -------------------------------------------------------------------
  // The thumb stays where it is; only what comes next is brought to the top, and read out.
  const refocus = (main, from) => {
    // Where no check is left, the cause is what matters.
    const target = from?.back && (document.getElementById(from.back) ??
      (from.back === "check" ? document.getElementById("cause") : null));
    const up = ["check", "cause", "now", "fitted"].includes(target?.id);
    const invalid = target && target.closest("section, li")?.querySelector("[aria-invalid=true]");
    const same = from?.form && main.querySelectorAll(`#${CSS.escape(from.form)} button`)[from.at];
    // With a keyboard at hand the next answer is typed at once; a thumb wants no keyboard to open.
    const typing = up && matchMedia("(pointer: fine)").matches && target.closest(".card")?.querySelector(".entry input:not([type=hidden]), .entry button");
    const focus = invalid || same || typing || target;
    focus?.focus({ preventScroll: !(invalid || up) });
    if (!invalid && up) { if (target.closest(".card")) scrollTo(0, 0); else target.scrollIntoView({ block: "start" }); }
  };
  // What comes after something saved. While it is not there, the page says that it is saved.
  const next = async (to, from) => {
    const main = document.getElementById("main");
    const late = setTimeout(() => say(words.savedWait, 0, { good: true }), SLOW_MS);
    let page = await pageNow(to);
    clearTimeout(late);
    while (!page?.ok) {
      say(words.savedUnseen, 0, { good: true });
      await pause(AGAIN_MS);
      if (main !== document.getElementById("main")) return;
      page = await pageNow(to);
    }
    put(page, await page.text(), from, to);
    if (!document.querySelector("main [data-say]")) status.replaceChildren();
  };
  const put = (answer, text, from, to = answer.url) => {
    const fresh = new DOMParser().parseFromString(text, "text/html");
    const main = document.getElementById("main");
    const next = fresh.getElementById("main");
    if (!next) { location.assign(answer.url); return; }
    const open = [...main.querySelectorAll("details[open][id]")].map((each) => each.id);
    main.replaceWith(document.adoptNode(next));
    const [way, wayNow] = [document, fresh].map((each) => each.querySelector("nav.way"));
    if (way && wayNow) way.replaceWith(document.adoptNode(wayNow)); // the stage may be another
    if (!answer.headers.has("rungwise-from")) { // it is of the server again
      delete document.body.dataset.keptAt;
      document.getElementById("kept-copy").hidden = true;
      for (const each of document.querySelectorAll(".needs-signal")) each.remove();
    }
    for (const id of open) document.getElementById(id)?.setAttribute("open", "");
    document.title = fresh.title;
    history.replaceState(null, "", to);
    drafted(next);
    document.dispatchEvent(new Event("fresh"));
    const told = next.querySelector("[data-say]");
    if (told && !from?.again) say(told.dataset.say, undefined, { good: "good" in told.dataset, then: told.dataset.then });
    refocus(next, from);
    lookAgain();
  };
  // --- a page that waits for something looks again, and moves nothing under the thumb -----------
  let looking;
  const lookAgain = () => {
    clearTimeout(looking);
    const main = document.getElementById("main");
    const wait_s = main.querySelector("[data-runs-out]")?.dataset.runsOut ?? main.dataset.lookAgain;
    if (!wait_s) return;
    looking = setTimeout(async () => {
      const busy = () => inHand() || main.querySelector("form[data-busy]");
      const page = busy() ? null : await pageNow(location.href);
      const text = page?.ok && await page.text();
      const on = document.activeElement;
      const form = on?.closest("form");
      const at = form?.id ? [...form.querySelectorAll("button")].indexOf(on) : -1;
      const same = main === document.getElementById("main");
      if (text && same && !busy()) put(page, text, { again: true, form: at >= 0 ? form.id : "", at }); else lookAgain();
    }, 1000 * wait_s);
  };
  const typedIn = (form, key) => [...form.elements].filter((each) => each.name && each.value && each.matches("input:not([type=hidden], [type=file], [type=checkbox], [type=radio]), textarea, select, :checked")).map((each) => each.value).concat(key?.name && key.value ? key.textContent.trim() || key.value : []).join(" ");
  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (!("swap" in form.dataset)) {
      if (form.method !== "post" || navigator.onLine !== false) return;
      event.preventDefault(); // the browser would put its own page in the place of what was typed
      say(words.notSent, 0);
      return;
    }
    event.preventDefault();
    if (form.dataset.busy) return;
    form.dataset.busy = "1";
    form.dataset.sent = "";
    const all = () => [...new FormData(form, event.submitter)];
    const filled = () => all().filter(([, v]) => typeof v === "string");
    const photos = all().filter(([, v]) => v instanceof File && v.size);
    const body = filled();
    const url = event.submitter?.hasAttribute("formaction") ? event.submitter.formAction : form.action;
    const slow = () => { say(words.held, LONG_MS); delete form.dataset.busy; };
    const outcome = await settled(slow, url, body, form.dataset.swap, typedIn(form, event.submitter), photos);
    const typesOn = JSON.stringify(filled()) !== JSON.stringify(body); // the next one, meanwhile
    if (outcome.words) { say(`${words.notSaved} ${outcome.words}`, LONG_MS); delete form.dataset.sent; }
    else if (!typesOn) forget(form);
    if (outcome.later && photos.length) form.reset();
    if (outcome.later) { waiting(); document.dispatchEvent(new CustomEvent("rungwise:held")); }
    if (outcome.kept) document.dispatchEvent(new Event("rungwise:sent"));
    if (outcome.kept && typesOn) say(fill(words.saved, { name: form.dataset.swap }), undefined, { good: true });
    else if (outcome.kept) {
      const at = [...form.querySelectorAll("button")].indexOf(event.submitter);
      const back = new Map(body).get("back") ?? form.dataset.back;
      await next(outcome.kept.to ?? location.href, { form: at >= 0 ? form.id : "", at, back });
    }
    delete form.dataset.busy;
  });

  // --- a field saved as it is left -------------------------------------------------------------
  document.addEventListener("change", async ({ target }) => {
    const form = target.form;
    if (!form || !("keep" in form.dataset) || target.type === "file") return;
    const told = document.getElementById(`${target.id}-told`);
    const seen = target.dataset.seen ?? form.elements.seen?.value;
    const body = [["typed", target.value], ...(seen ? [["seen", seen]] : [])];
    const url = new URL(`${form.dataset.keep}/${encodeURIComponent(target.name)}`, location.href).href;
    const slow = () => { if (told) { told.textContent = words.held; told.className = "told"; } };
    const outcome = await settled(slow, url, body, target.labels?.[0]?.textContent.trim() || target.name, target.value);
    const { level = "", text = "", seen: version } = outcome.kept ?? {};
    if (outcome.kept) sessionStorage.removeItem(draftKey(target));
    if (version) target.dataset.seen = version;
    if (outcome.later) waiting();
    target.toggleAttribute("aria-invalid", false);
    if (outcome.words || level === "wrong") target.setAttribute("aria-invalid", "true");
    if (!told) { if (outcome.words) say(`${words.notSaved} ${outcome.words}`, LONG_MS); return; }
    told.textContent = outcome.words ? `${words.notSaved} ${outcome.words}` : outcome.later ? words.heldHere : text;
    told.className = `told ${outcome.words ? "wrong" : level}`;
  });

  document.addEventListener("rungwise:shown", () => { drafted(document); document.dispatchEvent(new Event("fresh")); });

  drafted(document);
  lookAgain();
  show();
  retried();
})();
