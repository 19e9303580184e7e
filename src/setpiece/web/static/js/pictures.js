// Pictures of opened frames, decoded ahead at the size they are shown. Only a few are kept, and
// each on a canvas of our own: what the browser decodes for an <img> it keeps as long as it likes.
const MOST = 6;

export class Pictures {
  constructor(report, most = MOST) {
    this.report = report;
    this.most = most;
    this.coming = new Map();
    this.made = new Map();
  }

  // Waits until the pictures of opened frames in that markup are decoded.
  async ready(part) {
    await Promise.all(imagesIn(part).map((image) => this.#decoded(image)));
  }

  // Puts the decoded pictures in the place of the <img>; one that is not there stays an <img>.
  put(part) {
    for (const image of imagesIn(part)) {
      const canvas = this.made.get(image.getAttribute("src"));
      if (!canvas?.width) continue;
      canvas.setAttribute("aria-label", image.alt);
      image.replaceWith(canvas);
    }
  }

  #decoded(image) {
    const address = image.getAttribute("src");
    const width = widthShown(image, this.report.clientWidth);
    const known = this.coming.get(address);
    this.coming.delete(address);
    this.coming.set(address, known ?? this.#decode(address, width));
    this.#forget();
    return this.coming.get(address);
  }

  async #decode(address, width) {
    try {
      const answer = await fetch(address);
      const whole = await createImageBitmap(await answer.blob());
      const scale = Math.min(1, width / whole.width);
      const [resizeWidth, resizeHeight] = [whole.width, whole.height].map((side) => Math.max(1, Math.round(side * scale)));
      const shown = await createImageBitmap(whole, { resizeWidth, resizeHeight, resizeQuality: "medium" });
      whole.close();
      const canvas = Object.assign(document.createElement("canvas"), { width: resizeWidth, height: resizeHeight });
      canvas.setAttribute("role", "img");
      canvas.getContext("bitmaprenderer").transferFromImageBitmap(shown);
      if (this.coming.has(address)) this.made.set(address, canvas);
    } catch {
      this.coming.delete(address);
    }
  }

  #forget() {
    for (const address of [...this.coming.keys()].slice(0, -this.most)) {
      this.coming.delete(address);
      const canvas = this.made.get(address);
      this.made.delete(address);
      if (canvas && !canvas.isConnected) canvas.width = canvas.height = 0;
    }
  }
}

function imagesIn(part) {
  return [...part.querySelectorAll(".pic > img")];
}

// How wide a picture is shown, in screen pixels; report.css gives it the same bounds.
export function widthShown(image, columnWidth) {
  const [width, height] = ["width", "height"].map((name) => Number(image.getAttribute(name)));
  if (!width || !height) return Infinity;
  const most = innerWidth <= 900 ? innerHeight * 0.7 : Math.min(innerHeight * 0.48, 640);
  return Math.ceil(width * Math.min(1, most / height, columnWidth / width) * devicePixelRatio);
}
