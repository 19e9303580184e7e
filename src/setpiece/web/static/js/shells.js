// Only rows near the window hold their pictures; the others are shells that keep their height.
import { fetched, parsed } from "./fragments.js";

const NEAR = "1000px 0px";
const FAR = "1800px 0px";

export class Shells {
  constructor(walker) {
    this.walker = walker;
    this.waiting = new Set();
    this.near = new IntersectionObserver((seen) => this.#come(seen), { rootMargin: NEAR });
    this.far = new IntersectionObserver((seen) => this.#gone(seen), { rootMargin: FAR });
    this.watch();
  }

  // Looks at rows that are new in the page.
  watch() {
    for (const row of this.walker.report.querySelectorAll("[data-row]")) {
      this.near.observe(row);
      this.far.observe(row);
    }
  }

  #come(seen) {
    const before = this.waiting.size;
    for (const { target, isIntersecting } of seen) {
      if (!target.isConnected) this.near.unobserve(target);
      else if (isIntersecting && target.hasAttribute("data-shell")) this.waiting.add(target);
    }
    if (!before && this.waiting.size) requestAnimationFrame(() => this.#fill());
  }

  async #fill() {
    const rows = [...this.waiting].filter((r) => r.isConnected && r.hasAttribute("data-shell"));
    this.waiting.clear();
    if (!rows.length) return;
    const keys = encodeURIComponent(rows.map((r) => r.dataset.row).join(","));
    let part;
    try {
      part = parsed(await fetched(`${this.walker.base}/rows?keys=${keys}`));
    } catch {
      return;
    }
    const fresh = new Map([...part.querySelectorAll("[data-row]")].map((r) => [r.dataset.row, r]));
    for (const row of rows) {
      const made = fresh.get(row.dataset.row);
      if (!made || !row.isConnected || row.classList.contains("opens")) continue;
      row.querySelector(".col").replaceChildren(...made.querySelector(".col").childNodes);
      row.dataset.mark = made.dataset.mark;
      row.removeAttribute("data-shell");
      row.style.minHeight = "";
    }
  }

  #gone(seen) {
    for (const { target, isIntersecting, boundingClientRect } of seen) {
      if (isIntersecting || target.hasAttribute("data-shell") || target.classList.contains("opens")) continue;
      if (!target.isConnected) {
        this.far.unobserve(target);
        continue;
      }
      target.style.minHeight = `${boundingClientRect.height}px`;
      for (const passage of target.querySelectorAll("[data-passage]")) passage.replaceChildren();
      target.setAttribute("data-shell", "");
    }
  }
}
