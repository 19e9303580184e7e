// The opened frame at one picture pixel to one screen pixel, where it is sharpest.
export class Zoom {
  constructor(walker) {
    this.walker = walker;
    this.on = false;
    this.at = null;
    walker.addEventListener("opened", () => this.on && this.#show());
    walker.addEventListener("closed", () => { this.on = false; });
    walker.report.addEventListener("pointerdown", (event) => this.#drag(event));
    walker.report.addEventListener("dblclick", (event) => {
      if (event.target.closest(".pic")) this.toggle();
    });
  }

  toggle() {
    this.on = !this.on;
    if (this.on) {
      this.at = null;
      this.#show();
    } else this.#hide();
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
    const small = pic?.querySelector("img:not(.full)");
    if (!small) return;
    const box = small.getBoundingClientRect();
    pic.style.width = `${box.width}px`;
    pic.style.height = `${box.height}px`;
    pic.classList.add("zoomed");
    const full = new Image();
    full.className = "full";
    full.alt = small.alt;
    full.src = pic.dataset.full;
    full.decode().then(() => {
      if (!this.on || !pic.isConnected) return;
      pic.append(full);
      this.at ??= pic.dataset.sharpest.split(" ").map(Number);
      this.#place();
    }).catch(() => this.#hide());
  }

  #place() {
    const pic = this.#pic();
    const full = pic?.querySelector(".full");
    if (!full) return;
    const scale = 1 / devicePixelRatio;
    const width = full.naturalWidth * scale;
    const height = full.naturalHeight * scale;
    const reach = (share, whole, seen) => Math.min(Math.max(share * whole - seen / 2, 0), Math.max(whole - seen, 0));
    const x = reach(this.at[0], width, pic.clientWidth);
    const y = reach(this.at[1], height, pic.clientHeight);
    full.style.width = `${width}px`;
    full.style.transform = `translate(${-x}px, ${-y}px)`;
  }

  #hide() {
    this.on = false;
    const pic = this.#pic();
    if (!pic) return;
    pic.classList.remove("zoomed");
    pic.querySelector(".full")?.remove();
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
