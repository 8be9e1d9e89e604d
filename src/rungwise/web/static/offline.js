// Says of a page that came from this phone what it is, and of each key on it that needs signal
// that it does. Without a secure connection a browser gives no worker, and pages end with the
// signal; /phone says what is missing.
"use strict";
(() => {
  // A browser tries a worker that could not begin again only once another page is opened: one file
  // that did not come would leave this page without one for as long as it stands.
  const AGAIN_MS = [2000, 5000, 15000, 60000];
  const begin = (tried = 0) => {
    const again = () => setTimeout(begin, AGAIN_MS[Math.min(tried, AGAIN_MS.length - 1)], tried + 1);
    navigator.serviceWorker.register("/service-worker.js").then(({ installing, active }) => {
      if (active) return;
      installing?.addEventListener("statechange", ({ target }) => { if (target.state === "redundant") again(); });
    }, again);
  };
  if (isSecureContext && "serviceWorker" in navigator) begin();

  const body = document.body;
  const kept = Number(body.dataset.keptAt);
  // Of what a query asks, the page itself is here as well: the worker answers with that.
  const here = (link) => caches.open("rungwise-pages").then((pages) => pages.match(link.href.split("#")[0], { ignoreSearch: !("exact" in link.dataset) }));
  const words = body.dataset; // the page tells its own words, in its own language
  const mark = (key, text) => {
    if (key.querySelector(".needs-signal")) return;
    key.append(Object.assign(document.createElement("span"), { className: "needs-signal", textContent: text }));
  };
  const posts = (root) => root.querySelectorAll("form[method=post]:not([data-swap], [data-works-offline]), form[data-needs-signal]");
  const told = async () => {
    for (const form of posts(document)) for (const key of form.querySelectorAll("button")) mark(key, words.needsSignal);
    for (const link of document.querySelectorAll("main a[href^='/'], nav a[href^='/']")) {
      if (!(await here(link))) mark(link, words.needsSignal);
    }
  };
  const unmark = () => { for (const each of document.querySelectorAll(".needs-signal")) each.remove(); };
  const banner = document.getElementById("kept-copy");
  if (kept && banner) {
    banner.hidden = false;
    banner.querySelector("[data-at]").textContent = clock.day(kept);
    told();
  }
  const along = document.querySelector("#along, #work");
  const goneOn = () => body.classList.add("gone-on");
  if (!entries.waiting().length) goneOn();
  if (along && isSecureContext && "caches" in window) import(along.dataset.module).then((module) => module.begin()).finally(goneOn);
  else goneOn();
  document.addEventListener("rungwise:shown", () => { if (kept) told(); });
  addEventListener("offline", told);
  addEventListener("online", unmark);
})();
