// Tells on /phone what this phone has of what it needs.
"use strict";
(() => {
  const list = document.getElementById("phone-state");
  const put = (name, yes) => {
    const item = list.querySelector(`[data-state=${name}]`);
    const text = item.querySelector("span");
    item.dataset.is = yes ? "yes" : "no";
    text.textContent = yes ? text.dataset.yes : text.dataset.no;
  };
  const look = async () => {
    const storage = navigator.storage;
    put("secure", isSecureContext);
    put("worker", Boolean(navigator.serviceWorker?.controller));
    put("installed", matchMedia("(display-mode: standalone)").matches || navigator.standalone === true);
    put("kept", isSecureContext && Boolean((await storage?.persisted?.()) || (await storage?.persist?.())));
    list.hidden = false;
  };
  navigator.serviceWorker?.addEventListener("controllerchange", look);
  look();
  const install = document.getElementById("install");
  let asked;
  addEventListener("beforeinstallprompt", (event) => { event.preventDefault(); asked = event; install.hidden = false; });
  install.addEventListener("click", async () => { await asked.prompt(); install.hidden = true; });
})();
