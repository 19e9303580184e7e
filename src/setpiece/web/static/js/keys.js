// The keys, which can be changed; they are kept on this computer.
export const FIRST_KEYS = {
  keys: "F1",
  use: "F2",
  hold: "F4",
  spike: "F8",
  crop: "F3",
  point: "F6",
  zoom: "F7",
  compare: "F10",
  undo: "F9",
  "frame-before": "PageUp",
  "frame-after": "PageDown",
};

const PLACE = "setpiece.keys";

export function nameOf(event) {
  const parts = [];
  if (event.ctrlKey) parts.push("Ctrl");
  if (event.altKey) parts.push("Alt");
  if (event.metaKey) parts.push("Meta");
  if (event.shiftKey) parts.push("Shift");
  parts.push(event.key.length === 1 ? event.key.toUpperCase() : event.key);
  return parts.join("+");
}

export class Keys {
  constructor(store = localStorage) {
    this.store = store;
    this.map = { ...FIRST_KEYS, ...this.#own() };
  }

  // What a key does; typing is never taken away.
  actOf(event) {
    const name = nameOf(event);
    return Object.keys(this.map).find((act) => this.map[act] === name) ?? "";
  }

  // Gives an act a key; whoever had it gets the old one, so that none is lost.
  change(act, key) {
    const had = Object.keys(this.map).find((other) => this.map[other] === key && other !== act);
    if (had) this.map[had] = this.map[act];
    this.map[act] = key;
    this.store.setItem(PLACE, JSON.stringify(this.map));
  }

  reset() {
    this.map = { ...FIRST_KEYS };
    this.store.removeItem(PLACE);
  }

  #own() {
    try {
      const kept = JSON.parse(this.store.getItem(PLACE) ?? "{}");
      return Object.fromEntries(Object.entries(kept).filter(([act]) => act in FIRST_KEYS));
    } catch {
      return {};
    }
  }
}

export class KeysDialog {
  constructor(dialog, keys) {
    this.dialog = dialog;
    this.keys = keys;
    this.waiting = null;
    this.#fill();
    dialog.addEventListener("click", (event) => this.#clicked(event));
    dialog.addEventListener("keydown", (event) => this.#pressed(event));
    dialog.addEventListener("close", () => this.#wait(null));
  }

  toggle() {
    if (this.dialog.open) this.dialog.close();
    else this.dialog.showModal();
  }

  #fill() {
    for (const row of this.dialog.querySelectorAll("[data-key-of]")) {
      row.querySelector("[data-key-shown]").textContent = this.keys.map[row.dataset.keyOf];
    }
  }

  #clicked(event) {
    if (event.target.closest("[data-keys-reset]")) {
      this.keys.reset();
      this.#fill();
    }
    const button = event.target.closest("[data-key-change]");
    if (button) this.#wait(button.closest("[data-key-of]"));
  }

  #wait(row) {
    this.waiting?.classList.remove("waiting");
    this.waiting = row;
    row?.classList.add("waiting");
  }

  #pressed(event) {
    if (!this.waiting || ["Shift", "Control", "Alt", "Meta"].includes(event.key)) return;
    event.preventDefault();
    event.stopPropagation();
    if (event.key !== "Escape" && (event.key.length > 1 || event.ctrlKey)) {
      this.keys.change(this.waiting.dataset.keyOf, nameOf(event));
      this.#fill();
    }
    this.#wait(null);
  }
}
