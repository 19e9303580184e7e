// The opened frame at one picture pixel to one screen pixel, where it is sharpest; and beside it,
// when asked, the frame that was opened before it, at the same place and moving with it.
export class Zoom {
  constructor(walker) {
    this.walker = walker;
    this.on = false;
    this.at = null;
    this.both = false;
    this.last = null;
    this.before = null;
    walker.addEventListener("opened", () => {
      this.#remember();
      if (this.on) this.#show();
    });
    this.#remember();
    walker.addEventListener("closed", () => { this.on = false; });
    walker.report.addEventListener("pointerdown", (event) => this.#drag(event));
    walker.report.addEventListener("dblclick", (event) => {
      if (event.target.closest(".pic")) this.toggle();
    });
  }

  toggle() {
    this.on = !this.on;
    if (this.on) {
      this.#remember();
      this.at = null;
      this.#show();
    } else this.#hide();
  }

  // Two frames side by side: the one opened before stays, the arrows change the other.
  compare() {
    this.both = !this.both && Boolean(this.before);
    if (this.both && !this.on) this.toggle();
    else if (this.on) this.#show();
  }

  #remember() {
    const pic = this.#pic();
    if (!pic || this.last?.frame === this.walker.frame) return;
    if (!this.both) this.before = this.last;
    const { full } = pic.dataset;
    this.last = { frame: this.walker.frame, full, name: this.walker.opened.dataset.handle };
  }

  // Moves by shares of what is seen; true when it did.
  move(right, down) {
    if (!this.on || !this.at) return false;
    this.at = [this.at[0] + right, this.at[1] + down].map((v) => Math.min(1, Math.max(0, v)));
    this.#place();
    return true;
  }

  #pic() {
    return this.walker.opened?.querySelector(".pic");
  }

  #show() {
    const pic = this.#pic();
    const small = pic?.querySelector("img:not(.full), canvas");
    if (!small) return;
    const box = small.getBoundingClientRect();
    pic.style.width = `${box.width}px`;
    pic.style.height = `${box.height}px`;
    pic.classList.add("zoomed");
    const full = new Image();
    full.className = "full";
    full.alt = small.alt ?? small.getAttribute("aria-label");
    full.src = pic.dataset.full;
    full.decode().then(() => {
      if (!this.on || !pic.isConnected) return;
      for (const old of pic.querySelectorAll(".full, .beside")) old.remove();
      pic.append(full);
      if (this.both) pic.append(this.#beside());
      this.at ??= pic.dataset.sharpest.split(" ").map(Number);
      this.#place();
    }).catch(() => this.#hide());
  }

  #beside() {
    const half = document.createElement("div");
    half.className = "beside";
    const other = new Image();
    other.alt = this.before.name;
    other.src = this.before.full;
    const label = Object.assign(document.createElement("span"), { textContent: this.before.name });
    half.append(other, label);
    other.decode().then(() => this.#place()).catch(() => {});
    return half;
  }

  #place() {
    const pic = this.#pic();
    const full = pic?.querySelector(".full");
    if (!full) return;
    const seen = this.both ? pic.clientWidth / 2 : pic.clientWidth;
    this.#put(full, seen, pic.clientHeight);
    const other = pic.querySelector(".beside img");
    if (other?.naturalWidth) this.#put(other, seen, pic.clientHeight);
  }

  #put(full, seenWidth, seenHeight) {
    const scale = 1 / devicePixelRatio;
    const width = full.naturalWidth * scale;
    const height = full.naturalHeight * scale;
    const reach = (share, whole, seen) => Math.min(Math.max(share * whole - seen / 2, 0), Math.max(whole - seen, 0));
    const x = reach(this.at[0], width, seenWidth);
    const y = reach(this.at[1], height, seenHeight);
    full.style.width = `${width}px`;
    full.style.transform = `translate(${-x}px, ${-y}px)`;
  }

  #hide() {
    this.on = this.both = false;
    const pic = this.#pic();
    if (!pic) return;
    pic.classList.remove("zoomed");
    for (const part of pic.querySelectorAll(".full, .beside")) part.remove();
    pic.style.width = pic.style.height = "";
  }

  #drag(event) {
    const pic = event.target.closest(".pic.zoomed");
    if (!pic || event.button) return;
    event.preventDefault();
    const full = pic.querySelector(".full");
    const move = ({ movementX, movementY }) => this.move(-movementX / full.offsetWidth, -movementY / full.offsetHeight);
    const up = () => {
      removeEventListener("pointermove", move);
      removeEventListener("pointerup", up);
    };
    addEventListener("pointermove", move);
    addEventListener("pointerup", up);
  }
}
