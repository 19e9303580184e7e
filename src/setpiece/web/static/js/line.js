// The one line: shows large what it understood, completes, and does it on Enter.
export class Line extends EventTarget {
  constructor(form, ask) {
    super();
    this.form = form;
    this.ask = ask;
    this.input = form.querySelector("[data-line]");
    this.heard = form.querySelector("[data-heard]");
    this.ghost = form.querySelector("[data-ghost]");
    this.list = form.querySelector("[data-nexts]");
    this.enter = form.querySelector("[data-enter]");
    this.hint = this.enter.textContent;
    this.turn = 0;
    this.nexts = [];
    this.chosen = -1;
    this.busy = false;
    this.input.addEventListener("input", () => this.read());
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.submit();
    });
  }

  get text() {
    return this.input.value;
  }

  get empty() {
    return this.text.trim() === "";
  }

  focus() {
    this.input.focus({ preventScroll: true });
  }

  set(text) {
    this.input.value = text;
    this.input.setSelectionRange(text.length, text.length);
    return this.read();
  }

  // The newest answer wins when keys come faster than answers.
  async read() {
    const turn = ++this.turn;
    const { text } = this;
    if (this.empty) {
      this.#forget();
      return;
    }
    const answer = await this.ask.read(text, this.input.selectionStart ?? text.length);
    if (turn !== this.turn || !answer) return;
    this.#show(answer, text);
  }

  async submit() {
    if (this.busy || this.empty) return;
    this.busy = true;
    const { text } = this;
    try {
      const answer = await this.ask.act(text);
      if (!answer) return;
      if (answer.wrong) {
        this.turn += 1;
        this.#show({ bits: [], enter: "", nexts: [], wrong: answer.wrong }, text);
        return;
      }
      if (this.text === text && answer.go !== "find") this.set("");
      this.dispatchEvent(new CustomEvent("done", { detail: answer }));
    } finally {
      this.busy = false;
    }
  }

  // A way to go on: the first is the grey word, the others are chosen with the arrows.
  take(next = this.nexts[Math.max(0, this.chosen)]) {
    if (!next) return false;
    const head = this.text.slice(0, next.start) + next.text;
    this.input.value = `${head} ${this.text.slice(next.end).trimStart()}`;
    this.input.setSelectionRange(head.length + 1, head.length + 1);
    this.read();
    return true;
  }

  choose(by) {
    if (!this.nexts.length) return;
    const count = this.nexts.length;
    this.chosen = (this.chosen + by + count + (this.chosen < 0 && by < 0 ? 1 : 0)) % count;
    this.#list(true);
  }

  hide() {
    const shown = !this.list.hidden;
    this.chosen = -1;
    this.#list(false);
    return shown;
  }

  #forget() {
    this.nexts = [];
    this.chosen = -1;
    this.heard.replaceChildren();
    this.ghost.replaceChildren();
    this.enter.textContent = this.hint;
    this.form.classList.remove("typed", "bad");
    this.#list(false);
  }

  #show(answer, text) {
    this.form.classList.add("typed");
    this.form.classList.toggle("bad", Boolean(answer.wrong && !answer.wrong.unfinished));
    this.nexts = answer.nexts;
    this.chosen = -1;
    this.heard.replaceChildren(...answer.bits.map(bit), ...(answer.wrong ? wrongBits(answer.wrong) : []));
    this.enter.textContent = answer.enter;
    this.ghost.replaceChildren(...this.#ghostBits(answer, text));
    this.#list(false);
  }

  #ghostBits(answer, text) {
    const parts = [];
    const { wrong } = answer;
    if (wrong && !wrong.unfinished && wrong.end > wrong.start) {
      parts.push(text.slice(0, wrong.start), made("mark", text.slice(wrong.start, wrong.end)), text.slice(wrong.end));
    } else parts.push(text);
    const rest = wrong && !wrong.unfinished ? "" : remainder(answer.nexts[0], text, this.input.selectionEnd);
    if (rest) parts.push(made("i", rest));
    return parts;
  }

  #list(shown) {
    this.list.hidden = !shown || !this.nexts.length;
    this.input.setAttribute("aria-expanded", String(!this.list.hidden));
    if (this.list.hidden) {
      this.input.removeAttribute("aria-activedescendant");
      return;
    }
    this.list.replaceChildren(...this.nexts.map((next, at) => this.#option(next, at)));
    this.input.setAttribute("aria-activedescendant", `next-${this.chosen}`);
  }

  #option(next, at) {
    const item = made("li", "");
    item.id = `next-${at}`;
    item.setAttribute("role", "option");
    item.setAttribute("aria-selected", String(at === this.chosen));
    item.append(made("b", next.text), " ", made("span", next.means));
    item.addEventListener("pointerdown", (event) => {
      event.preventDefault();
      this.take(next);
    });
    return item;
  }
}

// What is left of the likeliest word after what was typed of it; empty when it is no beginning.
export function remainder(next, text, cursor) {
  if (!next || cursor !== text.length || next.end !== text.length) return "";
  const typed = text.slice(next.start, next.end).toLowerCase();
  return next.text.toLowerCase().startsWith(typed) ? next.text.slice(typed.length) : "";
}

function made(tag, text) {
  const element = document.createElement(tag);
  element.textContent = text;
  return element;
}

const SHIRT = "M5.2 1.2 1 3.6l1.6 3.6 2-.9v8.5h6.8V6.3l2 .9L15 3.6l-4.2-2.4C10.2 3 5.8 3 5.2 1.2Z";

function shirt(kit) {
  const space = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(space, "svg");
  svg.setAttribute("viewBox", "0 0 16 16");
  svg.setAttribute("class", "shirt");
  svg.setAttribute("data-kit", kit);
  svg.setAttribute("aria-hidden", "true");
  const path = document.createElementNS(space, "path");
  path.setAttribute("d", SHIRT);
  svg.append(path);
  return svg;
}

function bit({ kind, text, kit }) {
  const span = made("span", text);
  span.className = `bit ${kind}`;
  if (kit) span.prepend(shirt(kit), " ");
  return span;
}

function wrongBits({ text, next_step: next, choices, unfinished }) {
  const parts = [bit({ kind: unfinished ? "aside" : "wrong", text }), bit({ kind: "aside", text: next })];
  if (choices.length) parts.push(bit({ kind: "aside", text: choices.join(" · ") }));
  return parts.filter((part) => part.textContent);
}
