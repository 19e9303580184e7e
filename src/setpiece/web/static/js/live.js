// Hears what changed and puts it in its place, without moving what is being looked at.
import { fetched, parsed } from "./fragments.js";

const CHUNK = 60;
const MANY_MS = 1500; // While a card comes in, news of frames is looked at so often and no more,
const SHARE = 4; // and that takes a fifth of the time at most, however many frames there are.
const MANY = new Set(["frames", "clocks"]);
const FEW_MS = 150; // While pictures go out, their news is looked at so often.
const MARGIN = new Set(["outbox", "desks", "plan"]); // News that changes the margin, and no row.

export class Live extends EventTarget {
  constructor(walker, since) {
    super();
    this.walker = walker;
    this.report = walker.report;
    this.base = walker.base;
    this.gone = false;
    this.asked = null;
    this.again = false;
    this.whole = false;
    this.took = 0;
    this.later = new Map();
    this.looked = new Map();
    this.stream = new EventSource(`${this.base}/news?since=${since}`);
    for (const topic of ["fixture", "log", "frames", "clocks", "captions", "decisions", "outbox", "desks", "plan"]) {
      this.stream.addEventListener(topic, () => this.#heard(topic));
    }
    for (const name of ["progress", "said"]) {
      this.stream.addEventListener(name, (event) => {
        this.dispatchEvent(new CustomEvent(name, { detail: JSON.parse(event.data) }));
      });
    }
    this.stream.addEventListener("error", () => this.lost());
    this.stream.addEventListener("open", () => this.#found());
    addEventListener("pagehide", () => this.stream.close());
  }

  // One question at a time; what comes meanwhile is asked once more after it.
  refresh() {
    this.whole = true;
    return this.#ask();
  }

  #ask() {
    if (this.asked) {
      this.again = true;
      return this.asked;
    }
    this.asked = this.#refresh()
      .catch(() => {
        this.whole = true; // what did not come is asked for with the next news
        this.lost();
      })
      .finally(() => {
        this.asked = null;
        if (this.again) {
          this.again = false;
          this.#ask();
        }
      });
    return this.asked;
  }

  #heard(topic) {
    if (MANY.has(topic)) this.#soon("frames", Math.max(MANY_MS, SHARE * this.took), () => this.refresh());
    else if (MARGIN.has(topic)) this.#soon("margin", FEW_MS, () => this.#ask());
    else this.refresh();
  }

  // At once after a quiet time, else when so much time has passed since the last look.
  #soon(what, gap, look) {
    if (this.later.has(what)) return;
    const looked = this.looked.get(what) ?? -gap;
    this.later.set(what, setTimeout(() => {
      this.later.delete(what);
      this.looked.set(what, performance.now());
      look();
    }, Math.max(0, looked + gap - performance.now())));
  }

  async #refresh() {
    const whole = this.whole;
    const began = performance.now();
    this.whole = false;
    const now = JSON.parse(await fetched(`${this.base}/standing${whole ? "" : "?part=margin"}`));
    this.dispatchEvent(new CustomEvent("standing", { detail: now }));
    if (!whole) return;
    await this.#renewed(now.rows);
    this.took = performance.now() - began;
  }

  async #renewed(rows) {
    const top = this.#top();
    const replaced = await this.#rows(rows);
    this.walker.kept.forget();
    const row = this.walker.opened?.closest("[data-row]");
    if (row && !replaced.has(row.dataset.row)) await this.walker.renew();
    else this.walker.again();
    if (top !== null && this.#top() !== null) window.scrollBy(0, this.#top() - top);
    this.dispatchEvent(new CustomEvent("changed"));
  }

  // Where the opened picture stands in the window: it must not move under the eye.
  #top() {
    return this.walker.opened?.querySelector(".pic")?.getBoundingClientRect().top ?? null;
  }

  async #rows(rows) {
    const here = new Map([...this.report.querySelectorAll("[data-row]")].map((r) => [r.dataset.row, r]));
    const stale = rows.filter(([key, mark]) => here.get(key)?.dataset.mark !== mark).map(([key]) => key);
    const asked = this.walker.frame;
    const fresh = await this.#fetch(stale, asked);
    await Promise.all([...fresh.values()].map((row) => this.walker.pictures.ready(row)));
    const wanted = new Set(rows.map(([key]) => key));
    for (const [key, row] of here) if (!wanted.has(key)) row.remove();
    this.report.querySelector(":scope > .nothing")?.remove();
    for (const [key, row] of fresh) {
      const old = here.get(key);
      if (this.walker.frame !== asked && [old, row].some((r) => r?.querySelector("[data-opened]"))) {
        this.whole = this.again = true; // another frame was opened meanwhile: its row is asked for again
        continue;
      }
      this.walker.pictures.put(row);
      if (old) old.replaceWith(row);
      here.set(key, row);
    }
    let after = null;
    for (const [key] of [...rows].reverse()) {
      const row = here.get(key);
      if (!row) continue;
      if (row.nextElementSibling !== after || row.parentNode !== this.report) this.report.insertBefore(row, after);
      after = row;
    }
    return new Set(fresh.keys());
  }

  async #fetch(keys, opened) {
    const found = new Map();
    for (let at = 0; at < keys.length; at += CHUNK) {
      const asked = encodeURIComponent(keys.slice(at, at + CHUNK).join(","));
      const frame = encodeURIComponent(opened);
      const part = parsed(await fetched(`${this.base}/rows?keys=${asked}&frame=${frame}`));
      for (const row of part.querySelectorAll("[data-row]")) found.set(row.dataset.row, row);
    }
    return found;
  }

  lost() {
    if (this.gone) return;
    this.gone = true;
    this.dispatchEvent(new CustomEvent("gone"));
  }

  #found() {
    if (!this.gone) return;
    this.gone = false;
    this.dispatchEvent(new CustomEvent("back"));
    this.refresh();
  }
}
