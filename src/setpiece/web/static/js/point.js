// Placing people by pointing: a click on each person of the line, in the order typed.
export class Pointing {
  constructor(walker, line, { ask, tell, clear }) {
    this.walker = walker;
    this.line = line;
    this.ask = ask;
    this.tell = tell;
    this.clear = clear;
    this.on = false;
    this.at = [];
    walker.addEventListener("opened", () => this.#opened());
    walker.addEventListener("closed", () => { this.on = false; });
    walker.report.addEventListener("pointerdown", (event) => this.#pointed(event));
    walker.report.addEventListener("click", (event) => {
      if (event.target.closest("[data-point]")) this.toggle();
    });
  }

  async toggle() {
    if (this.on) this.leave("");
    else await this.#begin();
  }

  leave(text) {
    this.on = false;
    this.at = [];
    this.#draw();
    this.tell(text);
  }

  // True when the key was for the pointing.
  key(event) {
    if (!this.on || !["Escape", "Backspace"].includes(event.key)) return false;
    if (event.key === "Escape") this.leave("");
    else this.#asked(this.at.slice(0, -1));
    return true;
  }

  #pic() {
    return this.walker.opened?.querySelector(".pic");
  }

  async #begin() {
    if (!this.#pic()?.querySelector("img, canvas")) return;
    this.clear();
    this.frame = this.walker.frame;
    await this.#asked([]);
    this.line.focus();
  }

  #opened() {
    if (this.on && this.frame !== this.walker.frame) this.leave("");
    else this.#draw();
  }

  async #asked(at) {
    const across = at.map(([x]) => x);
    const answer = await this.ask({ line: this.line.text, frame: this.frame, across });
    if (!answer || this.frame !== this.walker.frame) return;
    if (answer.wrong) {
      this.leave("");
      this.tell([answer.wrong.text, answer.wrong.next_step].filter(Boolean).join(". "), "wrong");
      return;
    }
    if (answer.line) {
      this.leave("");
      await this.line.set(answer.line);
      this.line.focus();
      return;
    }
    this.on = true;
    this.at = at;
    this.#draw();
    this.tell(answer.said);
  }

  #draw() {
    const pic = this.#pic();
    if (!pic) return;
    pic.classList.toggle("pointing", this.on);
    for (const mark of pic.querySelectorAll(".point")) mark.remove();
    this.at.forEach(([x, y], number) => {
      const mark = document.createElement("b");
      mark.className = "point";
      mark.textContent = number + 1;
      Object.assign(mark.style, { left: `${x * 100}%`, top: `${y * 100}%` });
      pic.append(mark);
    });
  }

  #pointed(event) {
    const pic = this.on && event.target.closest(".pic");
    if (!pic || event.button) return;
    event.preventDefault();
    const seen = pic.getBoundingClientRect();
    const share = (value, from, size) => Math.min(1, Math.max(0, (value - from) / size));
    const x = share(event.clientX, seen.left, seen.width);
    const y = share(event.clientY, seen.top, seen.height);
    this.#asked([...this.at, [x, y]]);
  }
}
