// Sharing a report: by the phone's own share sheet where it has one, else by a copy of the link.
"use strict";
(() => {
  const shown = (root) => {
    for (const key of root.querySelectorAll("[data-share-url]")) key.hidden = !navigator.share;
    const can = window.File && navigator.canShare?.({ files: [new File(["%PDF-"], "report.pdf", { type: "application/pdf" })] });
    for (const key of root.querySelectorAll("[data-share-file]")) key.hidden = !can;
  };
  const say = (text) => {
    const line = Object.assign(document.createElement("p"), { className: "held" });
    line.append(Object.assign(document.createElement("span"), { textContent: text }));
    document.getElementById("status").replaceChildren(line);
  };
  const copied = async (field) => {
    try { await navigator.clipboard.writeText(field.value); return true; } catch { /* without HTTPS there is none */ }
    field.focus();
    field.select();
    return document.execCommand("copy");
  };
  const stopped = (fault) => fault.name === "AbortError"; // somebody closed the sheet
  // The file is fetched beforehand: a share sheet opens only right after the touch.
  const files = new Map();
  const fetched = (key) => {
    const { shareFile, name } = key.dataset;
    if (!files.has(shareFile)) files.set(shareFile, fetch(shareFile).then(async (answer) => {
      if (!answer.ok) throw new Error(String(answer.status));
      return new File([await answer.blob()], name, { type: "application/pdf" });
    }));
    return files.get(shareFile);
  };
  document.addEventListener("click", async ({ target }) => {
    const key = target.closest?.("[data-share-url], [data-share-file], [data-copy]");
    if (!key) return;
    const { shareUrl, shareFile, copy, title, done, failed } = key.dataset;
    if (copy) { if (await copied(document.getElementById(copy))) say(done); return; }
    if (shareUrl) { navigator.share({ title, url: document.getElementById(shareUrl).value }).catch(() => {}); return; }
    try { await navigator.share({ title, files: [await fetched(key)] }); }
    catch (fault) {
      files.delete(shareFile);
      if (!stopped(fault)) say(failed);
    }
  });
  shown(document);
  document.addEventListener("fresh", () => shown(document));
})();
