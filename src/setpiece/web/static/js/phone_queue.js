// What the phone logged and has not sent yet; it stays in the phone until the laptop has it.
export class Queue {
  constructor(match, { send, store = localStorage, told = () => {}, failed = () => {} }) {
    this.place = `setpiece.phone.${match}`;
    this.send = send;
    this.store = store;
    this.told = told;
    this.failed = failed;
    this.sending = null;
  }

  get keys() {
    try {
      return JSON.parse(this.store.getItem(this.place) ?? "[]");
    } catch {
      return [];
    }
  }

  #keep(keys) {
    this.store.setItem(this.place, JSON.stringify(keys));
  }

  // Instants are an entry's name, so no two are alike.
  add(line, atMs) {
    const taken = new Set(this.keys.map((key) => key.ms));
    let ms = Math.round(atMs);
    while (taken.has(ms)) ms += 1;
    const key = { ms, at: new Date(ms).toISOString(), line, act: "log" };
    this.#keep([...this.keys, key]);
    this.flush();
    return key;
  }

  // Not sent yet: it is simply gone. Sent, or on its way: the laptop takes it back.
  undo(key) {
    const waiting = this.keys.some((k) => k.ms === key.ms && k.act === "log");
    if (waiting && !this.sending) this.#keep(this.keys.filter((k) => k.ms !== key.ms));
    else this.#keep([...this.keys, { ...key, act: "undo" }]);
    this.flush();
  }

  flush() {
    if (this.sending || !this.keys.length) return this.sending;
    const sent = this.keys;
    this.sending = this.send(sent.map(({ at, line, act }) => ({ at, line, act })))
      .then((outcomes) => {
        this.#keep(this.keys.slice(sent.length));
        for (const outcome of outcomes) this.told(outcome);
      })
      .catch(() => this.failed())
      .finally(() => { this.sending = null; });
    return this.sending;
  }
}

// How far this device's clock is from the laptop's: the exchange that took least time says best.
export function offsetOf(samples) {
  const best = samples.reduce((a, b) => (b.took < a.took ? b : a));
  return best.server - (best.sent + best.took / 2);
}
