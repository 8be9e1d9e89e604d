// What the phone knows of itself: its time zone, and whether its region reads °F or °C.
"use strict";
(() => {
  const FAHRENHEIT = ["US", "LR", "MM", "BS", "BZ", "KY", "PW", "PR", "GU", "VI"];
  const told = Intl.DateTimeFormat().resolvedOptions();
  const zone = told.timeZone ?? "";
  const region = new Intl.Locale(navigator.language || told.locale).maximize().region ?? "";
  const keep = (name, value) => {
    const row = `${name}=${encodeURIComponent(value)}`;
    if (value && !document.cookie.split("; ").includes(row)) document.cookie = `${row}; path=/; max-age=31536000; samesite=lax`;
  };
  keep("zone", zone);
  keep("units", FAHRENHEIT.includes(region) ? "us" : "si");
  const field = document.querySelector("[data-phone-zone]");
  if (field && !field.value) field.value = zone;
})();
