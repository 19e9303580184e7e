// Cropping the opened frame, by keys or by pointer; boxes are shares of the picture.
export const SHAPES = ["whole", "3:2", "2:3", "4:5", "5:4", "1:1", "16:9"];
const STEP = 0.01;
const LEAST = 0.08;

const bounded = (value, low, high) => Math.min(Math.max(value, low), Math.max(low, high));

// The largest box of a shape within a picture, its middle as near as it fits to the one before.
export function shaped(shape, box, picture) {
  if (shape === "whole") return [0, 0, 1, 1];
  const [wide, high] = shape.split(":").map(Number);
  const share = wide / high / (picture.width / picture.height);
  const size = [Math.min(1, share), Math.min(1, 1 / share)];
  return placed(box[0] + box[2] / 2 - size[0] / 2, box[1] + box[3] / 2 - size[1] / 2, size);
}

function placed(x, y, [width, height]) {
  return [bounded(x, 0, 1 - width), bounded(y, 0, 1 - height), width, height];
}

export function moved([x, y, width, height], right, down) {
  return placed(x + right, y + down, [width, height]);
}

// Larger or smaller about its middle, its shape kept.
export function sized([x, y, width, height], by) {
  const least = LEAST / Math.min(width, height);
  const scale = bounded(by, least, Math.min(1 / width, 1 / height));
  const size = [width * scale, height * scale];
  return placed(x + (width - size[0]) / 2, y + (height - size[1]) / 2, size);
}

// One corner follows the pointer, the opposite one stays; the shape is kept where there is one.
export function dragged(box, corner, x, y, share) {
  const [left, top] = [corner.includes("w"), corner.includes("n")];
  const fixed = [left ? box[0] + box[2] : box[0], top ? box[1] + box[3] : box[1]];
  const room = [left ? fixed[0] : 1 - fixed[0], top ? fixed[1] : 1 - fixed[1]];
  let width = bounded(Math.abs(x - fixed[0]), LEAST, room[0]);
  let height = bounded(Math.abs(y - fixed[1]), LEAST, room[1]);
  if (share) {
    width = Math.min(width, room[1] * share);
    height = width / share;
  }
  return [left ? fixed[0] - width : fixed[0], top ? fixed[1] - height : fixed[1], width, height];
}

export function written(box) {
  return box.map((share) => bounded(share, 0, 1).toFixed(4)).join(",");
}

export class Cropping {
  constructor(walker, { keep, tell }) {
    this.walker = walker;
    this.keep = keep;
    this.tell = tell;
    this.on = false;
    this.box = null;
    this.shape = "";
    walker.addEventListener("opened", () => this.#opened());
    walker.addEventListener("closed", () => { this.on = false; });
    walker.report.addEventListener("pointerdown", (event) => this.#pointed(event));
  }

  toggle() {
    if (this.on) this.leave();
    else this.#begin();
  }

  leave() {
    this.on = false;
    this.#draw();
    this.tell("");
  }

  // True when the key was for the crop.
  key(event) {
    if (!this.on) return false;
    const act = this.#acts()[event.key];
    if (!act) return false;
    act();
    if (this.on) this.#draw();
    return true;
  }

  #acts() {
    const step = (right, down) => () => { this.box = moved(this.box, right * STEP, down * STEP); };
    return {
      ArrowLeft: step(-1, 0), ArrowRight: step(1, 0), ArrowUp: step(0, -1), ArrowDown: step(0, 1),
      PageUp: () => { this.box = sized(this.box, 1.04); },
      PageDown: () => { this.box = sized(this.box, 1 / 1.04); },
      " ": () => this.#nextShape(),
      Delete: () => { [this.box, this.shape] = [[0, 0, 1, 1], "whole"]; },
      Enter: () => this.#kept(),
      Escape: () => this.leave(),
    };
  }

  #pic() {
    return this.walker.opened?.querySelector(".pic");
  }

  #picture() {
    const { width, height } = this.#pic().dataset;
    return { width: Number(width), height: Number(height) };
  }

  #begin() {
    const pic = this.#pic();
    if (!Number(pic?.dataset.width)) return;
    this.on = true;
    this.frame = this.walker.frame;
    this.box = this.#stored() ?? shaped("3:2", [0, 0, 1, 1], this.#picture());
    this.shape = "";
    this.#draw();
  }

  #stored() {
    const text = this.#pic()?.dataset.crop;
    return text ? text.split(",").map(Number) : null;
  }

  // The same frame drawn anew, after a change elsewhere, goes on being cropped.
  #opened() {
    if (this.frame !== this.walker.frame) this.on = false;
    this.frame = this.walker.frame;
    if (!this.on) this.box = this.#stored();
    this.#draw();
  }

  #nextShape() {
    this.shape = SHAPES[(SHAPES.indexOf(this.shape) + 1) % SHAPES.length];
    this.box = shaped(this.shape, this.box, this.#picture());
  }

  #kept() {
    const whole = this.box[2] > 0.999 && this.box[3] > 0.999;
    this.on = false;
    this.keep(whole ? "off" : written(this.box));
  }

  // What goes out is clear, the rest is dimmed; while cropping it has corners to drag.
  #draw() {
    const pic = this.#pic();
    pic?.querySelector(".crop")?.remove();
    const box = this.on ? this.box : this.#stored();
    if (!pic || !box) return;
    const frame = document.createElement("div");
    frame.className = this.on ? "crop on" : "crop";
    const [left, top, width, height] = box.map((share) => `${share * 100}%`);
    Object.assign(frame.style, { left, top, width, height });
    if (this.on) {
      for (const corner of ["nw", "ne", "sw", "se"]) {
        const handle = document.createElement("i");
        handle.className = corner;
        handle.dataset.corner = corner;
        frame.append(handle);
      }
      const picture = this.#picture();
      this.tell({
        ratio: this.shape || (box[2] * picture.width / (box[3] * picture.height)).toFixed(2),
        width: Math.round(box[2] * picture.width),
        height: Math.round(box[3] * picture.height),
      });
    }
    pic.append(frame);
  }

  #pointed(event) {
    const frame = this.on && event.target.closest(".crop");
    if (!frame || event.button) return;
    event.preventDefault();
    const { corner } = event.target.dataset;
    const seen = this.#pic().getBoundingClientRect();
    const share = this.shape && this.shape !== "whole" ? this.box[2] / this.box[3] : 0;
    const move = (e) => {
      this.box = corner
        ? dragged(this.box, corner, (e.clientX - seen.left) / seen.width, (e.clientY - seen.top) / seen.height, share)
        : moved(this.box, e.movementX / seen.width, e.movementY / seen.height);
      this.#draw();
    };
    const up = () => {
      removeEventListener("pointermove", move);
      removeEventListener("pointerup", up);
    };
    addEventListener("pointermove", move);
    addEventListener("pointerup", up);
  }
}
