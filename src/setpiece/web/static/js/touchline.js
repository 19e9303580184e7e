// The Touchline page: its parts, and how they hear of each other.
import { startClock } from "./clock.js";
import { parsed } from "./fragments.js";
import { Cropping } from "./crop.js";
import { Keys, KeysDialog } from "./keys.js";
import { Line } from "./line.js";
import { Live } from "./live.js";
import { Pointing } from "./point.js";
import { Shells } from "./shells.js";
import { Undoing } from "./undo.js";
import { Walker } from "./walker.js";
import { Zoom } from "./zoom.js";

const { match: folder, number } = document.body.dataset;
const report = document.querySelector("[data-report]");
const said = document.querySelector("[data-said]");
const minute = document.querySelector("[data-line-minute]");
const jobs = document.querySelector("[data-jobs]");
const gone = document.querySelector("[data-gone]");

const walker = new Walker(report, folder);
const keys = new Keys();
const dialog = new KeysDialog(document.querySelector("[data-keys]"), keys);
const undoing = new Undoing(folder);
const zoom = new Zoom(walker);
const crop = new Cropping(walker, {
  keep: (box) => decide(`crop ${box}`),
  tell: (told) => say(told ? filled(document.body.dataset.cropTold, told) : ""),
});
const live = new Live(walker, number);
const shells = new Shells(walker);
const line = new Line(document.querySelector("[data-line-form]"), { read, act });
const point = new Pointing(walker, line, {
  ask: (value) => sent("line/point", value),
  tell: guide,
  clear: () => {
    if (zoom.on) zoom.toggle();
    if (crop.on) crop.leave();
  },
});
let found = [];
let seen = walker.frame;

async function sent(path, value) {
  let answer;
  try {
    answer = await fetch(`${walker.base}/${path}`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(value),
    });
  } catch {
    live.lost();
    return null;
  }
  const told = answer.headers.get("content-type")?.startsWith("application/json");
  if (told) return answer.json();
  say(`${answer.status} ${answer.statusText}`, "wrong");
  return null;
}

function read(text, cursor) {
  return sent("line/read", { line: text, cursor, frame: walker.frame });
}

function act(text) {
  const shown = walker.opened?.dataset ?? {};
  const version = Number(shown.version ?? 0);
  return sent("line", { line: text, frame: walker.frame, was: shown.decision ?? "", version });
}

function say(text, tone = "", doubt = "") {
  const parts = [text, doubt].filter(Boolean);
  said.replaceChildren(parts.join(" "));
  said.className = `said ${doubt ? "doubt" : tone}`;
}

// Says where the line's own words stand, while text stays in the line.
function guide(text, tone = "") {
  line.form.classList.toggle("guided", Boolean(text));
  if (text) say(text, tone);
}

// A text with its braces filled, as the server's texts are.
function filled(text, values) {
  return text.replace(/\{(\w+)\}/g, (_, name) => values[name]);
}

async function undo() {
  const last = undoing.pop();
  if (!last) return say(said.dataset.nothing);
  const answer = await sent("undo", last);
  if (!answer) return undoing.push(last);
  if (answer.wrong) return say(answer.wrong.text, "wrong");
  say(answer.said, "", answer.doubt);
  await live.refresh();
  if (answer.frames?.length) await walker.open(answer.frames[0]);
  if (answer.offer && line.empty) await line.set(answer.offer);
  return null;
}

const GO = {
  next: () => (found.length ? nextFound() : walker.stepPassage(1)),
  previous: () => walker.stepPassage(-1),
  close: () => walker.close(),
  undo,
  help: () => dialog.toggle(),
  frame: (done) => walker.open(done.frames[0]),
  found: (done) => {
    found = done.frames;
    return walker.open(found[0]);
  },
  find: (done) => {
    const same = found.join() === done.frames.join();
    found = done.frames;
    return same ? nextFound() : walker.open(found[0]);
  },
};

// The minute in `74' 2–1`; empty where none runs.
function minuteIn(place) {
  return place.match(/^\S+'/)?.[0] ?? "";
}

function nextFound() {
  const at = found.indexOf(walker.frame);
  return walker.open(found[(at + 1) % found.length]);
}

function done(answer) {
  if (answer.undo) undoing.push(answer.undo);
  if (answer.said) say(answer.said, "", answer.doubt);
  if (!["find", "found", "next"].includes(answer.go)) found = [];
  GO[answer.go]?.(answer);
  if (answer.undo || !answer.go || answer.go === "found") live.refresh();
}

async function decide(word) {
  const answer = await act(word);
  if (answer?.wrong) say(answer.wrong.text, "wrong");
  else if (answer) done(answer);
}

line.addEventListener("done", (event) => done(event.detail));

const ACTS = {
  keys: () => dialog.toggle(),
  use: () => decide("use"),
  hold: () => decide("hold"),
  spike: () => decide("spike"),
  zoom: () => zoom.toggle(),
  crop: () => crop.toggle(),
  point: () => point.toggle(),
  compare: () => zoom.compare(),
  undo,
  "frame-before": () => walker.step(-1),
  "frame-after": () => walker.step(1),
};

const ARROWS = {
  ArrowLeft: [() => walker.step(-1), -1, 0],
  ArrowRight: [() => walker.step(1), 1, 0],
  ArrowUp: [() => walker.stepPassage(-1), 0, -1],
  ArrowDown: [() => walker.stepPassage(1), 0, 1],
};

function onArrow(event) {
  const arrow = ARROWS[event.key];
  if (!arrow || event.altKey || event.metaKey) return false;
  const [walk, right, down] = arrow;
  const withText = !line.empty;
  if (event.shiftKey) return false;
  if (event.ctrlKey) {
    if (!withText && zoom.move(right * 0.05, down * 0.05)) return true;
    if (down) walker.step(down);
    return Boolean(down);
  }
  if (withText) {
    if (down) line.choose(down);
    return Boolean(down);
  }
  walk();
  return true;
}

function onPlain(event) {
  if (event.key === "Escape") {
    if (zoom.on) zoom.toggle();
    else if (!line.hide() && line.empty) walker.close();
    return true;
  }
  if (event.key === "Tab" && !event.shiftKey && event.target === line.input && line.nexts.length) {
    return line.take();
  }
  if (event.key === "Enter" && event.target === line.input && line.chosen >= 0) return line.take();
  return false;
}

document.addEventListener("keydown", (event) => {
  if (dialog.dialog.open || event.isComposing) return;
  if (crop.key(event) || point.key(event)) {
    event.preventDefault();
    return;
  }
  const name = keys.actOf(event);
  if (name) {
    event.preventDefault();
    ACTS[name]();
    return;
  }
  if (onPlain(event) || onArrow(event)) event.preventDefault();
  else if (isTyping(event)) line.focus();
});

function isTyping(event) {
  if (event.ctrlKey || event.altKey || event.metaKey || event.key.length !== 1) return false;
  const control = event.target.closest("button, a, input, select, textarea");
  return !control || (control.matches("a") && event.key !== " ");
}

document.addEventListener("click", (event) => {
  const link = event.target.closest("a[data-frame]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
  event.preventDefault();
  walker.open(link.dataset.frame);
  if (matchMedia("(pointer: fine)").matches && event.detail) line.focus();
});

walker.addEventListener("opened", (event) => {
  const { opened, place } = event.detail.dataset;
  history.replaceState(null, "", `?frame=${encodeURIComponent(opened)}`);
  minute.textContent = minuteIn(place);
  if (opened === seen) return;
  seen = opened;
  if (line.empty) say(event.detail.getAttribute("aria-label"), "quiet");
  line.read();
});
walker.addEventListener("closed", () => {
  seen = "";
  history.replaceState(null, "", location.pathname);
  minute.textContent = "";
  say("");
});
walker.addEventListener("unreachable", () => live.lost());
// A frame that was just taken in may be asked for before its row has come.
walker.addEventListener("unlisted", async ({ detail: { opened, in: passage } }) => {
  await live.refresh();
  if (!walker.passage(passage)) await live.refresh(); // the first was asked for before that
  if (walker.passage(passage)) walker.open(opened);
});

live.addEventListener("standing", ({ detail }) => {
  document.querySelector(".mast").replaceWith(parsed(detail.mast).querySelector(".mast"));
  document.querySelector("[data-margin]").replaceChildren(parsed(detail.margin));
  document.title = document.title.replace(/\d+–\d+/, document.querySelector(".goals").textContent);
  startClock();
});
live.addEventListener("changed", () => shells.watch());
live.addEventListener("gone", () => { gone.hidden = false; });
live.addEventListener("back", () => { gone.hidden = true; });
live.addEventListener("progress", ({ detail }) => {
  jobs.hidden = false;
  jobs.querySelector("[data-job-what]").textContent = detail.what;
  const bar = jobs.querySelector("progress");
  if (detail.total) [bar.max, bar.value] = [detail.total, detail.done];
  else bar.removeAttribute("value");
});
live.addEventListener("said", ({ detail }) => {
  jobs.hidden = true;
  if (detail.text) say(detail.text, detail.tone);
  live.refresh();
});
jobs.querySelector("[data-job-stop]").addEventListener("click", () => sent("stop", {}));

startClock();
if (walker.opened) {
  walker.opened.scrollIntoView({ block: "nearest" });
  minute.textContent = minuteIn(walker.opened.dataset.place);
  say(walker.opened.getAttribute("aria-label"), "quiet");
}
if (matchMedia("(pointer: fine)").matches) line.focus();
