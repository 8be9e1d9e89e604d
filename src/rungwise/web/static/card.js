// What the card has besides plain forms: the keys of a meter, a picture that shows its leads and
// can be zoomed, a list that narrows while one types. The page works without any of it.
"use strict";
(() => {
  // --- the keys of a meter type, and the phone's own keyboard stays away -------------------------
  const types = (field, what) => {
    const { sent } = field.form.dataset; // what was saved is done with: a digit begins anew
    delete field.form.dataset.sent;
    const value = sent === undefined || what === "⌫" ? field.value : "";
    if (what === "⌫") field.value = value.slice(0, -1);
    else if (what === "AC") field.value = "";
    else if (what === "−") field.value = value.startsWith("-") ? value.slice(1) : `-${value}`;
    else field.value = value + what;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  };
  document.addEventListener("click", ({ target }) => {
    const key = target.closest?.("[data-types]");
    const field = key?.form?.querySelector("[data-padded]");
    if (field) types(field, key.dataset.types);
  });

  // --- the picture opens where the leads are; on a phone's card they stand in panes by themselves ---
  const boxes = (frame, names) => names.map((name) => frame.querySelector(`[data-terminal="${CSS.escape(name)}"]`)?.getBoundingClientRect()).filter(Boolean);
  const span = (found, low, high) => [Math.min(...found.map((each) => each[low])), Math.max(...found.map((each) => each[high]))];
  const put = (frame, found) => {
    const at = frame.getBoundingClientRect();
    const [[left, right], [top, bottom]] = [span(found, "left", "right"), span(found, "top", "bottom")];
    frame.scrollLeft += (left + right - at.left - at.right) / 2;
    frame.scrollTop += (top + bottom - at.top - at.bottom) / 2;
  };
  const centered = (frame) => {
    const names = frame.dataset.spots.split(" ").filter((name) => boxes(frame, [name]).length);
    if (!names.length) return;
    const [top, bottom] = span(boxes(frame, names), "top", "bottom");
    const svg = frame.querySelector("svg");
    if (matchMedia("(min-width: 64rem)").matches) {
      const least = svg.viewBox.baseVal.width; // a label is never smaller than it is drawn
      const fits = 0.9 * frame.clientHeight / (bottom - top);
      if (fits < 1) svg.style.width = `${Math.max(least, fits * svg.getBoundingClientRect().width)}px`;
    }
    put(frame, boxes(frame, names));
  };

  // --- and is drawn larger by two fingers, a double tap or a key ----------------------------------
  const [LEAST, MOST] = [0.6, 6];
  const zoomed = (frame, by, x, y) => {
    const svg = frame.querySelector("svg");
    const wide = svg.getBoundingClientRect().width;
    frame.dataset.full ??= wide;
    const next = Math.min(Math.max(wide * by, frame.dataset.full * LEAST), frame.dataset.full * MOST);
    const at = frame.getBoundingClientRect();
    const [left, top] = [x - at.left, y - at.top];
    const [inX, inY] = [(frame.scrollLeft + left) / wide, (frame.scrollTop + top) / wide];
    svg.style.width = `${next}px`;
    frame.scrollLeft = inX * next - left;
    frame.scrollTop = inY * next - top;
  };
  const apart = ([one, other]) => Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY);
  const pinched = (frame) => {
    let before = 0;
    frame.style.touchAction = "pan-x pan-y"; // two fingers are ours
    frame.addEventListener("touchmove", (event) => {
      if (event.touches.length !== 2) { before = 0; return; }
      event.preventDefault();
      const now = apart(event.touches);
      const [one, other] = event.touches;
      if (before) zoomed(frame, now / before, (one.clientX + other.clientX) / 2, (one.clientY + other.clientY) / 2);
      before = now;
    }, { passive: false });
    frame.addEventListener("touchend", () => { before = 0; });
    frame.addEventListener("dblclick", ({ clientX, clientY }) => zoomed(frame, 2, clientX, clientY));
  };
  document.addEventListener("click", ({ target }) => {
    const key = target.closest?.("[data-zoom-by]");
    const frame = key && document.querySelector("[data-zoom]");
    if (!frame) return;
    const at = frame.getBoundingClientRect();
    zoomed(frame, Number(key.dataset.zoomBy), (at.left + at.right) / 2, (at.top + at.bottom) / 2);
  });

  // --- a list that narrows while one types ---------------------------------------------------------
  document.addEventListener("input", ({ target }) => {
    const list = target.dataset?.sift && document.getElementById(target.dataset.sift);
    if (!list) return;
    const words = target.value.toLowerCase().split(/\s+/).filter(Boolean);
    for (const group of list.querySelectorAll("details")) {
      const name = group.querySelector("summary").textContent;
      let left = 0;
      for (const row of group.querySelectorAll("li")) {
        const told = `${row.textContent} ${name} ${row.dataset.words ?? ""}`.toLowerCase();
        row.hidden = !words.every((word) => told.includes(word));
        left += row.hidden ? 0 : 1;
      }
      group.hidden = !left;
      group.open = Boolean(words.length);
    }
  });

  // --- words that are too long for the first screen are shown whole by one tap ---------------------
  const tooLong = () => {
    for (const key of document.querySelectorAll("[data-all-words]")) {
      const hold = key.parentElement;
      const { position, bottom } = getComputedStyle(hold);
      const ends = hold.previousElementSibling.getBoundingClientRect().bottom + scrollY + hold.offsetHeight;
      key.hidden = key.ariaExpanded !== "true" && (position !== "sticky" || ends <= innerHeight - parseFloat(bottom) + 2);
    }
  };
  document.addEventListener("click", ({ target }) => {
    const key = target.closest?.("[data-all-words]");
    if (!key) return;
    key.ariaExpanded = String(key.ariaExpanded !== "true");
    scrollTo(0, 0);
    tooLong();
  });
  document.fonts?.ready.then(tooLong);
  addEventListener("resize", tooLong);

  const fresh = () => {
    tooLong();
    const coarse = matchMedia("(pointer: coarse)").matches;
    for (const field of document.querySelectorAll("[data-padded]")) if (coarse) field.inputMode = "none";
    document.querySelectorAll("[data-spots]").forEach(centered);
    document.querySelectorAll("[data-zoom]").forEach(pinched);
  };
  document.addEventListener("fresh", fresh);
  fresh();
})();
