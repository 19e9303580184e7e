// Walks through the report: opens a frame in its row, steps through frames and passages.
import { Kept, parsed, Unreachable } from "./fragments.js";
import { Pictures } from "./pictures.js";

export class Walker extends EventTarget {
  constructor(report, folder, kept = new Kept()) {
    super();
    this.report = report;
    this.base = `/match/${encodeURIComponent(folder)}`;
    this.kept = kept;
    this.pictures = new Pictures(report);
    this.turn = 0;
    this.going = false;
    this.stale = false;
  }

  get opened() {
    return this.report.querySelector("[data-opened]");
  }

  get frame() {
    return this.opened?.dataset.opened ?? "";
  }

  get passages() {
    return [...this.report.querySelectorAll("[data-passage]")];
  }

  passage(id) {
    return this.passages.find((p) => p.dataset.passage === id);
  }

  addressOf(frame) {
    return `${this.base}/frame/${encodeURIComponent(frame)}`;
  }

  // Opens a frame; the newest call wins when keys come faster than answers.
  async open(frame, { hold = false } = {}) {
    if (!frame) return;
    const turn = ++this.turn;
    this.going = true;
    const top = hold ? this.#top() : undefined;
    try {
      await this.#go(frame, turn, () => top);
    } catch (error) {
      this.#tell(error);
    }
    if (turn !== this.turn) return;
    this.going = false;
    if (this.stale) await this.renew();
  }

  async #go(frame, turn, top) {
    const html = await this.kept.get(this.addressOf(frame));
    if (turn !== this.turn) return;
    const article = parsed(html).querySelector("[data-opened]");
    await this.pictures.ready(article);
    if (turn !== this.turn) return;
    await this.#show(article, turn, top());
  }

  #top() {
    return this.opened?.querySelector(".pic")?.getBoundingClientRect().top;
  }

  // Rows may come anew while an answer is waited for, so places are looked up after each wait.
  async #show(article, turn, top) {
    const id = article.dataset.in;
    for (let other = this.#openElsewhere(id); other; other = this.#openElsewhere(id)) {
      await this.#close(other, turn);
      if (turn !== this.turn) return;
    }
    const place = this.passage(id);
    if (!place) {
      this.dispatchEvent(new CustomEvent("unlisted", { detail: article.dataset }));
      return;
    }
    this.pictures.put(article);
    place.replaceChildren(article);
    this.#mark(place);
    if (top === undefined) article.scrollIntoView({ block: "nearest" });
    else window.scrollBy(0, article.querySelector(".pic").getBoundingClientRect().top - top);
    this.foresee();
    this.dispatchEvent(new CustomEvent("opened", { detail: article }));
  }

  #openElsewhere(id) {
    const all = [...this.report.querySelectorAll("[data-opened]")].map((a) => a.closest("[data-passage]"));
    return all.find((place) => place.dataset.passage !== id)?.dataset.passage;
  }

  async close() {
    const place = this.opened?.closest("[data-passage]");
    if (!place) return;
    const turn = ++this.turn;
    await this.#close(place.dataset.passage, turn);
    if (turn !== this.turn) return;
    this.going = false;
    this.#mark(null);
    this.passage(place.dataset.passage)?.scrollIntoView({ block: "nearest" });
    this.dispatchEvent(new CustomEvent("closed"));
  }

  // Not when a key came meanwhile: what it opened stays.
  async #close(id, turn) {
    const html = await this.kept.get(`${this.base}/passage/${encodeURIComponent(id)}`);
    if (turn === this.turn) this.passage(id)?.replaceChildren(parsed(html));
  }

  // The opened frame's row came anew: whoever draws on the picture draws again.
  again() {
    const article = this.opened;
    if (!article) return;
    this.foresee();
    this.dispatchEvent(new CustomEvent("opened", { detail: article }));
  }

  // Fetched again after a change, without moving anything; a key that came before goes first.
  async renew() {
    this.kept.forget();
    this.stale = this.going;
    if (this.going || !this.frame) return;
    await this.#go(this.frame, this.turn, () => this.#top()).catch((error) => this.#tell(error));
  }

  step(by) {
    const article = this.opened;
    if (!article) return this.openPassage(this.passages[0]);
    const next = by > 0 ? article.dataset.next : article.dataset.previous;
    return this.open(next, { hold: true });
  }

  stepPassage(by) {
    const all = this.passages.filter((p) => p.dataset.first);
    const at = all.indexOf(this.opened?.closest("[data-passage]"));
    if (at < 0) return this.openPassage(all[by > 0 ? 0 : all.length - 1]);
    return this.openPassage(all[at + by]);
  }

  openPassage(place) {
    return place ? this.open(place.dataset.first) : undefined;
  }

  // The neighbours' words and pictures are there before the key is pressed.
  foresee() {
    const { next, previous } = this.opened?.dataset ?? {};
    for (const frame of [next, previous]) {
      if (!frame) continue;
      this.kept.get(this.addressOf(frame)).then((html) => this.pictures.ready(parsed(html))).catch(() => {});
    }
  }

  #mark(place) {
    for (const row of this.report.querySelectorAll(".row.opens")) row.classList.remove("opens");
    place?.closest(".row")?.classList.add("opens");
  }

  #tell(error) {
    const kind = error instanceof Unreachable ? "unreachable" : "trouble";
    this.dispatchEvent(new CustomEvent(kind, { detail: error }));
  }
}
