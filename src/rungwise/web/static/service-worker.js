// Answers for the server where there is no signal: the files that the app is made of, the pages
// that were opened on this phone, as they were then, and the calls that were taken along.
// The server puts SHELL before this: { mark, files }.
"use strict";
const FILES = `rungwise-files ${SHELL.mark}`;
const PAGES = "rungwise-pages";
const NOTHING = "/phone/no-signal";
const OTHERS = ["/person", "/persons", "/language", "/measures", "/light", "/demo", "/demo/leave"];
const MOST_PAGES = 150;
const PATIENCE_MS = 4000; // with half a signal a page of before is better than none

const SLOW_MS = 30000; // a request that nobody answers must not hold up the worker for good

const fetched = async (path, cache = "default") => {
  const signal = AbortSignal.timeout?.(SLOW_MS);
  const answer = await fetch(path, { cache, credentials: "same-origin", signal });
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  return answer;
};
const begun = async () => {
  const files = await caches.open(FILES);
  // What came stays, also where another file does not come: the next try fetches only the rest.
  const put = async (path) => { if (!(await files.match(path))) await files.put(path, await fetched(path)); };
  const all = await Promise.allSettled(SHELL.files.map(put));
  const failed = all.find(({ status }) => status === "rejected");
  if (failed) throw failed.reason;
  await kept(NOTHING, await fetched(NOTHING, "no-cache"));
};
const tidy = async () => {
  await self.clients.claim(); // first: the open page must not wait for files that are of no use
  const old = (await caches.keys()).filter((name) => name.startsWith("rungwise-files") && name !== FILES);
  await Promise.allSettled(old.map((name) => caches.delete(name)));
};
self.addEventListener("install", (event) => event.waitUntil(begun().then(() => self.skipWaiting())));
self.addEventListener("activate", (event) => event.waitUntil(tidy()));

// --- pages as they were when they were opened ------------------------------------------------
const named = (url) => { const at = new URL(url, location.origin); at.hash = ""; return at.href; };
const kept = async (url, answer) => {
  const body = await answer.blob();
  const headers = new Headers(answer.headers);
  for (const each of ["set-cookie", "content-encoding", "content-length"]) headers.delete(each);
  headers.set("rungwise-kept-at", String(Date.now()));
  const pages = await caches.open(PAGES);
  await pages.delete(named(url)); // put anew, it stands last, and goes last
  await pages.put(named(url), new Response(body, { headers }));
  const all = await pages.keys();
  for (const each of all.slice(0, Math.max(0, all.length - MOST_PAGES))) if (!each.url.endsWith(NOTHING)) await pages.delete(each);
};
const exactly = async (url) => (await caches.open(PAGES)).match(named(url));
const ofThisPhone = async (url) => {
  const pages = await caches.open(PAGES);
  const exact = await exactly(url);
  if (exact) return exact;
  const bare = new URL(named(url)); // another check, what was just saved: the page itself is nearest
  bare.search = "";
  return pages.match(bare.href);
};
const marked = async (copy) => {
  const text = await copy.text();
  const told = ` data-kept-at="${Number(copy.headers.get("rungwise-kept-at"))}"`;
  const headers = new Headers(copy.headers);
  headers.set("rungwise-from", "phone");
  return new Response(text.replace("<body", `<body${told}`), { headers });
};
const page = async (event) => {
  const { request } = event;
  const asked = fetch(request);
  // What comes after something saved is not told by the page of before.
  const soon = request.headers.has("rungwise-now") ? [] : [new Promise((done) => { setTimeout(done, PATIENCE_MS); })];
  const first = await Promise.race([asked.catch(() => null), ...soon]);
  const late = first === undefined; // no answer yet
  // What a query asks for may take long to work out: the page without it is no answer to that.
  const waits = late && !(await exactly(request.url));
  const answer = first ?? (waits ? await asked.catch(() => null) : null);
  if (answer && answer.status < 500) {
    const whole = answer.ok && !answer.redirected && (answer.headers.get("content-type") ?? "").startsWith("text/html");
    const ours = !new URL(request.url).pathname.startsWith("/r/"); // a customer's report ends with its link
    if (whole && ours) event.waitUntil(kept(request.url, answer.clone()).catch(() => {}));
    return answer;
  }
  const copy = (await ofThisPhone(request.url)) ?? (await ofThisPhone(NOTHING));
  return copy ? marked(copy) : (answer ?? Response.error());
};
const file = async (request) => (await caches.match(request)) ?? fetch(request);

// A timer that has rung leads back to the page that it was started on.
self.addEventListener("notificationclick", (event) => {
  event.notification.close();
  const path = event.notification.data?.path ?? "/day";
  event.waitUntil((async () => {
    const open = await self.clients.matchAll({ type: "window" });
    const there = open.find((each) => new URL(each.url).pathname === path) ?? open[0];
    return there ? there.focus() : self.clients.openWindow(path);
  })());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== location.origin) return;
  if (request.method === "POST" && OTHERS.includes(url.pathname)) {
    event.waitUntil(caches.delete(PAGES)); // another person's, in another language, of the demo
    return;
  }
  if (request.method !== "GET") return;
  if (url.pathname.startsWith("/static/")) event.respondWith(file(request));
  else if (request.mode === "navigate" || (request.headers.get("accept") ?? "").startsWith("text/html")) event.respondWith(page(event));
});
