// Times of day as the server tells them to this person: 2:10 PM, or 14:10 for whoever asked for it.
"use strict";
const clock = (() => {
  const { lang, dataset } = document.documentElement;
  const HOURS = dataset.hours === "24" ? { hour: "2-digit", hourCycle: "h23" } : { hour: "numeric", hour12: true };
  const told = (at, more) => new Date(at).toLocaleString(lang, { ...HOURS, minute: "2-digit", ...more }).replace(/[\u202F\u00A0]/g, " ");
  return {
    time: (at) => told(at),
    seconds: (at) => told(at, { second: "2-digit" }),
    day: (at) => told(at, { weekday: "short" }),
  };
})();
