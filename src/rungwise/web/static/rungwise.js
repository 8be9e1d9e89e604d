// Every page works without this. With it, a form is saved without a new page, a field as it is
// left, and what cannot be sent for want of signal waits on the phone and is tried again.
"use strict";
(() => {
  const UNSENT = "rungwise.unsent";
  const AGAIN_MS = 5000;
  const status = document.getElementById("status");
  const stored = (key, none) => {
    try { return JSON.parse(localStorage.getItem(key)) ?? none; } catch { return none; }
  };
  const store = (key, value) => {
    try { localStorage.setItem(key, JSON.stringify(value)); return true; } catch { return false; }
  };
  let quiet;
  const say = (text, ms = 4000) => {
    clearTimeout(quiet);
    // What comes next stands on the page already: it is for the ear, and covers no key.
    const [seen, heard] = text.split(/(?= Next: )/);
    const line = document.createElement("p");
    line.textContent = seen;
    if (heard) line.append(Object.assign(document.createElement("span"), { className: "unseen", textContent: heard }));
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

  // --- sending -----------------------------------------------------------------------------------
  const send = (url, body, accept) =>
    fetch(url, { method: "POST", body: new URLSearchParams(body), headers: { accept } });
  const unsaid = () => stored(UNSENT, []);
  const waiting = () => {
    const left = unsaid().length;
    if (left) say(`No signal. ${left} ${left === 1 ? "entry waits" : "entries wait"} on this phone and will be sent.`, 0);
  };
  const putAside = (url, body, label) => {
    const kept = store(UNSENT, [...unsaid(), { url, body, label, at: Date.now() }]);
    if (kept) waiting(); else say("No signal, and this phone keeps nothing. Leave the page open.", 0);
    return kept;
  };
  let trying = false;
  const retry = async () => {
    if (trying || !unsaid().length) return;
    trying = true;
    let sent = 0;
    try {
      for (let left = unsaid(); left.length; left = unsaid()) {
        const answer = await send(left[0].url, left[0].body, "text/html");
        if (answer.status >= 500) break;
        store(UNSENT, unsaid().slice(1));
        sent += 1;
      }
    } catch { /* still no signal */ }
    trying = false;
    if (sent && !unsaid().length) {
      say("Signal is back: everything is saved.");
      const page = await fetch(location.href, { headers: { accept: "text/html" } }).catch(() => null);
      if (page?.ok && !document.activeElement?.matches("input, textarea")) await swap(page);
    } else waiting();
  };
  addEventListener("online", retry);
  setInterval(retry, AGAIN_MS);

  // --- a form saved in place -------------------------------------------------------------------
  // The thumb stays where it is; only what comes next is brought to the top, and read out.
  const refocus = (main, from) => {
    // Where no check is left, the cause is what matters.
    const target = from?.back && (document.getElementById(from.back) ??
      (from.back === "check" ? document.getElementById("cause") : null));
    const up = ["check", "cause", "now", "fitted"].includes(target?.id);
    const invalid = target && target.closest("section, li")?.querySelector("[aria-invalid=true]");
    const same = from?.form && main.querySelectorAll(`#${CSS.escape(from.form)} button`)[from.at];
    const focus = invalid || same || target;
    focus?.focus({ preventScroll: !(invalid || up) });
    if (!invalid && up) target.scrollIntoView({ block: "start" });
  };
  const swap = async (answer, from) => {
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    const main = document.getElementById("main");
    const next = fresh.getElementById("main");
    if (!next) { location.assign(answer.url); return; }
    const open = [...main.querySelectorAll("details[open][id]")].map((each) => each.id);
    main.replaceWith(document.adoptNode(next));
    for (const id of open) document.getElementById(id)?.setAttribute("open", "");
    document.title = fresh.title;
    history.replaceState(null, "", answer.url);
    drafted(next);
    const told = next.querySelector("[data-say]");
    if (told && !from?.again) say(told.dataset.say);
    refocus(next, from);
    lookAgain();
  };
  // --- a page that waits for something looks again, and moves nothing under the thumb -----------
  let looking;
  const lookAgain = () => {
    clearTimeout(looking);
    const main = document.getElementById("main");
    if (!main.dataset.lookAgain) return;
    looking = setTimeout(async () => {
      const on = document.activeElement;
      const busy = on?.matches("input, textarea, select") || main.querySelector("[data-busy]");
      const page = busy ? null : await fetch(location.href, { headers: { accept: "text/html" } }).catch(() => null);
      const form = on?.closest("form");
      const at = form?.id ? [...form.querySelectorAll("button")].indexOf(on) : -1;
      const same = main === document.getElementById("main");
      if (page?.ok && same) await swap(page, { again: true, form: at >= 0 ? form.id : "", at }); else lookAgain();
    }, 1000 * main.dataset.lookAgain);
  };
  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (!("swap" in form.dataset)) return;
    event.preventDefault();
    if (form.dataset.busy) return;
    form.dataset.busy = "1";
    const body = [...new FormData(form, event.submitter)].map(([k, v]) => [k, String(v)]);
    const url = event.submitter?.hasAttribute("formaction") ? event.submitter.formAction : form.action;
    try {
      const answer = await send(url, body, "text/html");
      if (answer.status >= 500) throw new Error("not saved");
      forget(form);
      const at = [...form.querySelectorAll("button")].indexOf(event.submitter);
      const back = new Map(body).get("back") ?? form.dataset.back;
      await swap(answer, { form: at >= 0 ? form.id : "", at, back });
    } catch {
      if (putAside(url, body, form.dataset.swap)) forget(form);
    }
    delete form.dataset.busy;
  });

  // --- a field saved as it is left -------------------------------------------------------------
  document.addEventListener("change", async ({ target }) => {
    const form = target.form;
    if (!form || !("keep" in form.dataset) || target.type === "file") return;
    const told = document.getElementById(`${target.id}-told`);
    const body = [["typed", target.value]];
    const url = `${form.dataset.keep}/${encodeURIComponent(target.name)}`;
    try {
      const answer = await send(url, body, "application/json");
      if (answer.status >= 500) throw new Error("not saved");
      const kept = await answer.json();
      sessionStorage.removeItem(draftKey(target));
      target.toggleAttribute("aria-invalid", false);
      if (kept.level === "wrong") target.setAttribute("aria-invalid", "true");
      if (told) { told.textContent = kept.text; told.className = `told ${kept.level}`; }
    } catch {
      putAside(url, body, target.name);
      if (told) { told.textContent = "Kept on this phone, not yet sent."; told.className = "told"; }
    }
  });

  drafted(document);
  lookAgain();
  waiting();
  retry();
})();
