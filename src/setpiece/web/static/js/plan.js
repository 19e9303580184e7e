// The plan: a seat is dragged, or moved by the arrows, or a lens is typed; the server draws it anew
// and keeps it. One question is on its way at a time, and the newest wins.
import { parsed } from "./fragments.js";

export const STEP_M = 0.5;
const TYPED_AFTER_MS = 120;
const FIGURES_AFTER_MS = 200;
const KEPT_AFTER_MS = 700;
const WITHIN = 22;

const MOVES = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

export function asQuery(form) {
  return new URLSearchParams(new FormData(form)).toString();
}

// A place of the drawing as metres of the ground, to the nearest step.
export function onGround(x, y, { left, foot, scale }, step = STEP_M) {
  const near = (value) => Math.round(value / step) * step;
  return [near((x - left) / scale), near((foot - y) / scale)];
}

export function inDrawing(x, y, { left, foot, scale }) {
  return [Number(left) + x * scale, foot - y * scale];
}

// Asks for the newest value only: what comes while one is asked waits, and is overtaken.
export class Latest {
  constructor(ask) {
    this.ask = ask;
    this.busy = false;
    this.waits = undefined;
  }

  async want(value) {
    if (this.busy) {
      this.waits = value;
      return;
    }
    this.busy = true;
    try {
      await this.ask(value);
    } finally {
      this.busy = false;
      const next = this.waits;
      this.waits = undefined;
      if (next !== undefined) this.want(next);
    }
  }
}

const part = (name) => document.querySelector(`[data-plan-${name}]`);
const planForm = () => document.querySelector("form[data-plan]");
const spot = () => part("spot").dataset;
const later = {};
let unkept = false;

function after(name, wait, act) {
  clearTimeout(later[name]);
  later[name] = setTimeout(act, wait);
}

function say(text, tone = "") {
  const said = part("said");
  said.className = tone;
  said.textContent = text;
}

async function drawn(name, query) {
  let answer;
  try {
    answer = await fetch(`${planForm().dataset.plan}/${name}?${query}`);
  } catch {
    say("✗", "wrong");
    return;
  }
  if (answer.ok) {
    part(name).replaceChildren(parsed(await answer.text()));
    if (name === "map") say(part("spot").textContent.trim());
  } else if (answer.status === 422) say((await answer.json()).wrong, "wrong");
}

const map = new Latest((query) => drawn("map", query));
const figures = new Latest((query) => drawn("figures", query));

const placed = () => rows().filter((row) => row.x.value.trim() && row.y.value.trim());
const typing = () => document.activeElement?.closest("[data-plan-rows]");

// A seat more or less: once nobody types there, the page is read again, with its row and letter.
async function keep() {
  unkept = false;
  const form = planForm();
  const count = placed().length;
  const answer = await fetch(form.dataset.plan, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ plan: asQuery(form) }),
    keepalive: true,
  }).catch(() => null);
  const value = answer ? await answer.json() : { wrong: "✗" };
  if (value.wrong) say(value.wrong, "wrong");
  else if (count !== Number(form.dataset.filled) && !typing()) location.reload();
}

export function changed() {
  unkept = true;
  map.want(asQuery(planForm()));
  after("figures", FIGURES_AFTER_MS, () => figures.want(asQuery(planForm())));
  after("keep", KEPT_AFTER_MS, keep);
}

function rows() {
  return [...document.querySelectorAll("[data-plan-rows] tr")].map((row) => ({
    chosen: row.querySelector("[name=chosen]"),
    x: row.querySelector("[name=seat-x]"),
    y: row.querySelector("[name=seat-y]"),
  }));
}

const chosen = () => placed().find((row) => row.chosen.checked) ?? rows()[0];

function move(x, y) {
  const row = chosen();
  [row.x.value, row.y.value] = [x, y].map((value) => String(Math.round(value * 10) / 10));
  changed();
}

// Where the pointer is, in units of the drawing.
function pointed(event) {
  const drawing = part("map").querySelector("svg");
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(
    drawing.getScreenCTM().inverse(),
  );
  return [at.x, at.y];
}

function seatAt(x, y) {
  const far = (row) => {
    const [a, b] = inDrawing(Number(row.x.value), Number(row.y.value), spot());
    return Math.hypot(a - x, b - y);
  };
  const near = placed()
    .filter((row) => far(row) < WITHIN)
    .sort((one, other) => far(one) - far(other));
  return near[0];
}

let dragging = false;

document.addEventListener("pointerdown", (event) => {
  const on = event.target.closest?.("[data-plan-map]");
  if (!on) return;
  const row = seatAt(...pointed(event));
  if (!row) return;
  event.preventDefault();
  on.focus();
  on.setPointerCapture(event.pointerId);
  dragging = true;
  if (!row.chosen.checked) {
    row.chosen.checked = true;
    changed();
  }
});

document.addEventListener("pointermove", (event) => {
  if (dragging) move(...onGround(...pointed(event), spot()));
});

for (const end of ["pointerup", "pointercancel"]) {
  document.addEventListener(end, () => {
    dragging = false;
  });
}

document.addEventListener("keydown", (event) => {
  const step = MOVES[event.key];
  if (!step || event.altKey || event.ctrlKey || event.metaKey) return;
  if (event.target !== part("map")) return;
  event.preventDefault();
  const row = chosen();
  move(Number(row.x.value) + step[0] * STEP_M, Number(row.y.value) + step[1] * STEP_M);
});

document.addEventListener("input", (event) => {
  if (event.target.closest("form[data-plan]")) after("typed", TYPED_AFTER_MS, changed);
});

document.addEventListener("focusout", (event) => {
  const left = event.target.closest?.("[data-plan-rows]");
  if (left && !left.contains(event.relatedTarget)) after("keep", KEPT_AFTER_MS, keep);
});

addEventListener("pagehide", () => {
  if (unkept) keep();
});

document.addEventListener("submit", (event) => {
  if (!event.target.closest("form[data-plan]")) return;
  event.preventDefault();
  changed();
});
