// One key says yes to a cutting: the one in hand, else the first that is this frame for certain.
import { Keys, KeysDialog } from "./keys.js";

const keys = new Keys();
const dialog = document.querySelector("[data-keys]");
const shown = new KeysDialog(dialog, keys);

function show() {
  for (const place of document.querySelectorAll("[data-key-shown-of]")) {
    place.textContent = keys.map[place.dataset.keyShownOf];
  }
}

function yes() {
  const inHand = document.activeElement?.closest("[data-clip]");
  const clip = inHand ?? document.querySelector("[data-clip][data-sure]");
  clip?.querySelector("form[data-send$='/confirm']").requestSubmit();
}

document.addEventListener("keydown", (event) => {
  const act = keys.actOf(event);
  if (act === "keys") shown.toggle();
  else if (act === "use" && !dialog.open) yes();
  else return;
  event.preventDefault();
});
dialog.addEventListener("close", show);
new MutationObserver(show).observe(document.body, { childList: true });
show();
