// Walks through the report: opens a frame in its row, steps through frames and passages.
import { Kept, parsed, Unreachable } from "./fragments.js";

export class Walker extends EventTarget {
  constructor(report, folder, kept = new Kept()) {
    super();
    this.report = report;
    this.base = `/match/${encodeURIComponent(folder)}`;
    this.kept = kept;
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
    await this.#ready(article);
    if (turn !== this.turn) return;
    await this.#show(article, top());
  }

  #top() {
    return this.opened?.querySelector(".pic")?.getBoundingClientRect().top;
  }

  async #show(article, top) {
    const place = this.passage(article.dataset.in);
    if (!place) return;
    const before = this.opened?.closest("[data-passage]");
    if (before && before !== place) await this.#close(before);
    place.replaceChildren(article);
    this.#mark(place);
    if (top === undefined) article.scrollIntoView({ block: "nearest" });
    else window.scrollBy(0, article.querySelector(".pic").getBoundingClientRect().top - top);
    this.foresee();
    this.dispatchEvent(new CustomEvent("opened", { detail: article }));
  }

  async close() {
    const place = this.opened?.closest("[data-passage]");
    if (!place) return;
    this.turn += 1;
    await this.#close(place);
    this.#mark(null);
    place.scrollIntoView({ block: "nearest" });
    this.dispatchEvent(new CustomEvent("closed"));
  }

  async #close(place) {
    const id = encodeURIComponent(place.dataset.passage);
    const html = await this.kept.get(`${this.base}/passage/${id}`);
    place.replaceChildren(parsed(html));
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
      this.kept.get(this.addressOf(frame)).then((html) => this.#ready(parsed(html))).catch(() => {});
    }
  }

  async #ready(part) {
    const source = part.querySelector(".pic img")?.getAttribute("src");
    if (!source) return;
    const picture = new Image();
    picture.src = source;
    await picture.decode().catch(() => {});
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
