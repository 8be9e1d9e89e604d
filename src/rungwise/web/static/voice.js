// Reads the step aloud, and takes a number by voice where the browser has it. What was heard goes
// into the field to be looked at; it is never saved by itself.
"use strict";
(() => {
  const spanish = document.documentElement.lang.startsWith("es");
  const tongue = spanish ? "es-US" : "en-US";
  const say = (text) => {
    const line = Object.assign(document.createElement("p"), { className: "held" });
    line.append(Object.assign(document.createElement("span"), { textContent: text }));
    document.getElementById("status").replaceChildren(line);
  };

  // --- aloud: what stands on the card, its keys and pictures left out ---------------------------
  const SIGNS = spanish
    ? { Ω: " ohmios", kΩ: " kiloohmios", MΩ: " megaohmios", µF: " microfaradios", "°F": " grados", "°C": " grados" }
    : { Ω: " ohms", kΩ: " kilohms", MΩ: " megohms", µF: " microfarads", "°F": " degrees", "°C": " degrees" };
  const ear = (text) => text.replace(/[kM]?Ω|µF|°[FC]/g, (sign) => SIGNS[sign]).replace(/\s+/g, " ").trim();
  const SPOKEN = "h1, h2, h3, p, li, dt, dd, legend, .stamp > *";
  const SILENT = ".entry, .drawing, .unseen, details:not([open]), [hidden], svg, .no-print, label";
  const step = () => {
    const card = document.querySelector("main .card") ?? document.getElementById("main");
    const rows = [...card.querySelectorAll(SPOKEN)].filter((each) => !each.closest(SILENT) && !each.parentElement.closest("p, li, dd"));
    const [asks, answers] = [rows.map((each) => each.innerText), [...card.querySelectorAll(".answers .key, .entry legend")].map((each) => each.innerText)];
    return ear([...asks, ...answers].map((text) => text.trim()).filter(Boolean).map((text) => (/[.?!]$/.test(text) ? text : `${text}.`)).join(" "));
  };
  const aloud = document.getElementById("aloud");
  if (aloud && "speechSynthesis" in window) {
    aloud.hidden = false;
    aloud.addEventListener("click", () => {
      const on = speechSynthesis.speaking;
      speechSynthesis.cancel();
      aloud.setAttribute("aria-pressed", String(!on));
      if (on) return;
      const told = new SpeechSynthesisUtterance(step());
      told.lang = tongue;
      told.voice = speechSynthesis.getVoices().find(({ lang }) => lang.replace("_", "-").startsWith(tongue.slice(0, 2))) ?? null;
      told.onend = told.onerror = () => aloud.setAttribute("aria-pressed", "false");
      speechSynthesis.speak(told);
    });
    addEventListener("pagehide", () => speechSynthesis.cancel());
  }

  // --- by voice ------------------------------------------------------------------------------------
  const Listener = window.SpeechRecognition ?? window.webkitSpeechRecognition;
  const shown = () => { for (const key of document.querySelectorAll("[data-listen]")) key.hidden = !Listener; };
  const put = (key, { text, prefix }) => {
    const field = document.getElementById(key.dataset.listen);
    const units = field.form.elements.unit;
    const unit = prefix && units?.options && [...units.options].find(({ value }) => value.startsWith(prefix) && value.length > 1);
    if (unit) units.value = unit.value;
    field.value = unit ? text : `${text}${prefix}`;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    field.focus();
    field.select();
  };
  let open;
  document.addEventListener("click", async ({ target }) => {
    const key = target.closest?.("[data-listen]");
    if (!key || !Listener) return;
    if (open) { open.stop(); return; }
    const { heard } = await import(key.dataset.module);
    open = new Listener();
    Object.assign(open, { lang: tongue, interimResults: false, maxAlternatives: 5 });
    key.setAttribute("aria-pressed", "true");
    open.onresult = ({ results }) => {
      const said = [...results[0]].map(({ transcript }) => transcript);
      const found = said.map((each) => heard(each, tongue)).find(Boolean);
      const told = { heard: said[0], number: found && `${found.text}${found.prefix}` };
      if (found) put(key, found);
      say((found ? key.dataset.got : key.dataset.none).replace(/\{(\w+)\}/g, (_, name) => told[name]));
    };
    open.onerror = ({ error }) => { if (error !== "aborted") say(error === "not-allowed" ? key.dataset.denied : key.dataset.nothing); };
    open.onend = () => { open = null; key.setAttribute("aria-pressed", "false"); };
    open.start();
  });
  document.addEventListener("fresh", shown);
  shown();
})();
