// Hears what changed and puts it in its place, without moving what is being looked at.
import { fetched, parsed } from "./fragments.js";

const CHUNK = 60;
const MANY_MS = 1500; // While a card comes in, news of frames is looked at so often and no more.
const MANY = new Set(["frames", "clocks"]);

export class Live extends EventTarget {
  constructor(walker, since) {
    super();
    this.walker = walker;
    this.report = walker.report;
    this.base = walker.base;
    this.gone = false;
    this.asked = null;
    this.again = false;
    this.later = 0;
    this.looked = -MANY_MS;
    this.stream = new EventSource(`${this.base}/news?since=${since}`);
    for (const topic of ["fixture", "log", "frames", "clocks", "captions", "decisions", "outbox", "desks", "plan"]) {
      this.stream.addEventListener(topic, () => (MANY.has(topic) ? this.#soon() : this.refresh()));
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
    if (this.asked) {
      this.again = true;
      return this.asked;
    }
    this.asked = this.#refresh()
      .catch(() => this.lost())
      .finally(() => {
        this.asked = null;
        if (this.again) {
          this.again = false;
          this.refresh();
        }
      });
    return this.asked;
  }

  #soon() {
    if (this.later) return;
    this.later = setTimeout(() => {
      this.later = 0;
      this.looked = performance.now();
      this.refresh();
    }, Math.max(0, this.looked + MANY_MS - performance.now()));
  }

  async #refresh() {
    const now = JSON.parse(await fetched(`${this.base}/standing`));
    this.dispatchEvent(new CustomEvent("standing", { detail: now }));
    const top = this.#top();
    const replaced = await this.#rows(now.rows);
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
        this.again = true; // another frame was opened meanwhile: that row is asked for once more
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
