// The report's page without signal: it is signed on this phone, and made when there is signal.

import { answerNow, base, entriesOf, filled, fragment, kept, put } from "./carry.js";

export const show = async () => {
  const [{ report }, now] = await Promise.all([kept(`${base}/work`), answerNow()]);
  const signed = entriesOf().filter(({ path }) => path === "/sign-off").at(-1);
  const words = now?.pieces.words ?? {};
  const place = document.querySelector("[data-now]");
  document.querySelector("[data-behind]")?.remove(); // what the customer reads is made anew
  if (signed) {
    const by = [signed.who, signed.fields.get("received_by")].filter(Boolean).join(", ");
    put(place, fragment(filled(report.signed, { at: clock.time(signed.at), by })), words.away);
    return;
  }
  const card = place.cloneNode(true);
  for (const text of card.querySelectorAll(".head > p")) text.remove();
  card.querySelector(".head")?.append(Object.assign(document.createElement("p"), { textContent: words.reportLater }));
  const cause = card.querySelector("#truth");
  const found = now?.answer.decided ? now.answer.verdict.answer?.suspect : null;
  if (cause && found && [...cause.options].some(({ value }) => value === found.id)) cause.value = found.id;
  card.querySelector(".ways")?.remove(); // both ways lead to what is made with signal
  put(place, card.firstElementChild, words.away);
};
