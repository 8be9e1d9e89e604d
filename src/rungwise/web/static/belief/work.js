// The work on a call without signal: each stage's page goes on by what was taken along.

import { base, entriesOf, kept, refresh } from "./carry.js";

const PAGES = { power: "lockout_page", part: "part_page", wires: "wires_page", test: "test_page", report: "report_page" };

/** Begins on a page of the work. */
export const begin = async () => {
  const { stage } = document.getElementById("work").dataset;
  if (!(stage in PAGES) || !(await kept(`${base}/work`))) return;
  const { show } = await import(`./${PAGES[stage]}.js`);
  const goOn = async () => {
    await show();
    const next = ["now", "fitted", "check", "signed"].map((id) => document.getElementById(id)).find(Boolean);
    next?.focus({ preventScroll: true });
    scrollTo(0, 0);
  };
  document.addEventListener("rungwise:held", goOn);
  document.addEventListener("rungwise:sent", refresh);
  if (document.body.dataset.keptAt || entriesOf().length) await show();
  else await refresh();
};
