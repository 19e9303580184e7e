// The log on the phone. The open page goes on without the laptop; what was logged is sent later.
import { elapsedText } from "./clock.js";
import { lineOf, nextStep, playersFor, scoreWith } from "./phone_steps.js";
import { offsetOf, Queue } from "./phone_queue.js";

const { match } = document.body.dataset;
const said = (name) => document.body.dataset[`t${name[0].toUpperCase()}${name.slice(1)}`];
const part = (name) => document.querySelector(`[data-${name}]`);
const KEPT = `setpiece.phone.match.${match}`;
const UNDO_MS = 10_000;
const HOLD_MS = 1200;
const TRY_AGAIN_MS = 15_000;

let loaded = JSON.parse(localStorage.getItem(KEPT) ?? "null");
let offset = Number(localStorage.getItem("setpiece.phone.offset") ?? 0);
let answers = {};
let last = null;
let undoTimer = 0;

const trueMs = () => Date.now() + offset;

async function asked(path, value) {
  const options = value && { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(value) };
  const answer = await fetch(`/phone${path}`, options);
  if (answer.status === 401) location.reload();
  if (!answer.ok) throw new Error(answer.statusText);
  return answer.json();
}

const queue = new Queue(match, {
  send: (keys) => asked(`/match/${encodeURIComponent(match)}/keys`, { keys }),
  told: ({ said: text, wrong }) => {
    tell(wrong || text, Boolean(wrong));
    load();
  },
  failed: () => tell(said("gone"), true),
});

async function load() {
  try {
    const samples = [];
    for (let i = 0; i < 3; i += 1) {
      const sent = Date.now();
      const { ms } = await asked("/time");
      samples.push({ sent, took: Date.now() - sent, server: ms });
    }
    offset = offsetOf(samples);
    localStorage.setItem("setpiece.phone.offset", offset);
    loaded = await asked(`/match/${encodeURIComponent(match)}`);
    localStorage.setItem(KEPT, JSON.stringify(loaded));
  } catch { /* out of reach: what is kept goes on */ }
  show();
}

function tell(text, wrong = false) {
  const told = part("told");
  told.textContent = text ?? "";
  told.classList.toggle("wrong", wrong);
}

function show() {
  if (!loaded) return;
  part("title").textContent = loaded.title;
  part("score").textContent = scoreWith(loaded.score, queue.keys, loaded.sides);
  part("phase").textContent = loaded.phase;
  const waiting = queue.keys.length;
  part("waiting").textContent = waiting ? said("waiting").replace("{n}", waiting) : said("sent");
  tick();
}

function tick() {
  if (!loaded || loaded.elapsed_s === null) {
    part("minute").textContent = "";
    return;
  }
  const gone = (trueMs() - Date.parse(loaded.at)) / 1000;
  part("minute").textContent = elapsedText(loaded.elapsed_s + gone);
}

function step() {
  const name = nextStep(answers);
  if (name === "done") return finish();
  for (const stage of document.querySelectorAll("[data-step]")) stage.hidden = stage.dataset.step !== name;
  part("back").hidden = name === "what";
  if (name === "side") showSides();
  if (name === "number") showNumbers();
  return name;
}

function asking(stage, text) {
  document.querySelector(`[data-step="${stage}"] [data-ask]`).textContent = text;
}

function showSides() {
  asking("side", said("which"));
  document.querySelectorAll("[data-side]").forEach((button, i) => {
    button.textContent = loaded.sides[i].name;
    button.style.borderLeftColor = loaded.sides[i].colour || "";
  });
}

function showNumbers() {
  const sub = answers.what === "sub";
  asking("number", sub ? said(answers.first === undefined ? "on" : "off") : said("whom"));
  part("ways").hidden = answers.what !== "goal";
  const buttons = playersFor(answers, loaded.sides).map((player) => {
    const button = document.createElement("button");
    button.type = "button";
    button.dataset.typed = player.typed;
    button.append(String(player.number), Object.assign(document.createElement("small"), { textContent: player.name }));
    return button;
  });
  if (!sub) buttons.push(Object.assign(document.createElement("button"), { type: "button", textContent: said("unknown") }));
  part("numbers").replaceChildren(...buttons);
}

function finish() {
  const line = lineOf(answers, loaded.sides);
  last = queue.add(line, answers.ms);
  answers = {};
  tell(line);
  offerUndo(last);
  show();
  step();
}

function offerUndo(key) {
  const undo = part("undo");
  undo.textContent = `${said("undo")}: ${key.line}`;
  undo.hidden = false;
  clearTimeout(undoTimer);
  undoTimer = setTimeout(() => { undo.hidden = true; }, UNDO_MS);
}

part("undo").addEventListener("click", () => {
  if (last) queue.undo(last);
  part("undo").hidden = true;
  tell(said("undone"));
  show();
});

// The moment is that of the first key, not of the last.
part("stage").addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (!button || !loaded) return;
  const { what, side, how, way, typed } = button.dataset;
  if (what) answers = { what, ms: trueMs() };
  else if (side !== undefined) answers.side = Number(side);
  else if (how) answers.how = how;
  else if (way) chooseWay(button, way);
  else if (button.closest("[data-back]")) answers = {};
  else if (answers.first === undefined) answers.first = typed ?? "";
  else answers.second = typed;
  step();
});

function chooseWay(button, way) {
  answers.way = answers.way === way ? undefined : way;
  for (const other of part("ways").children) {
    other.setAttribute("aria-pressed", String(other === button && answers.way === way));
  }
}

part("hand").addEventListener("click", () => {
  const left = document.body.classList.toggle("left");
  localStorage.setItem("setpiece.phone.left", left ? "1" : "");
});
document.body.classList.toggle("left", Boolean(localStorage.getItem("setpiece.phone.left")));

part("lock").addEventListener("click", () => { part("locked").hidden = false; });
let holding = 0;
const unlock = part("unlock");
unlock.addEventListener("pointerdown", () => {
  unlock.classList.add("held");
  holding = setTimeout(() => { part("locked").hidden = true; }, HOLD_MS);
});
for (const name of ["pointerup", "pointercancel", "pointerleave"]) {
  unlock.addEventListener(name, () => {
    unlock.classList.remove("held");
    clearTimeout(holding);
  });
}
unlock.addEventListener("keydown", (event) => { if (event.key === "Enter") part("locked").hidden = true; });

addEventListener("online", () => queue.flush());
setInterval(() => {
  if (document.hidden) return;
  tick();
}, 1000);
setInterval(() => { if (queue.keys.length) queue.flush()?.then(show); }, TRY_AGAIN_MS);
addEventListener("visibilitychange", () => { if (!document.hidden) load(); });

step();
load();
