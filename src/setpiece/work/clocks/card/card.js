// Shows two codes that change in turn, each five times a second, a tenth of a second apart: a
// photograph may catch one of them changing, never both. Each holds the instant at which it
// appeared. The instant is the device's clock less its lead over the match's reference clock: as
// `data-offset-ms` says it, or as measured by asking `data-time-url` for the reference's time. Where
// it is not known the page says so, and so does every code: it ends in J, not in Z.

const HOLD_MS = 200;
const EXCHANGES = 6;
const MOST_TOOK_MS = 100; // half of it is how wrong the lead may be
const AGAIN_MS = 30_000;
const card = document.querySelector("[data-clock-card]");
const canvases = [...card.querySelectorAll("canvas")];
const seconds = card.querySelector("[data-seconds]");
const day = card.querySelector("[data-day]");
const told = card.querySelector("[data-told]");
let known = card.dataset.offsetMs !== undefined;
let offsetMs = Number(card.dataset.offsetMs || 0);

function tell() {
  const seconds = (Math.abs(offsetMs) / 1000).toFixed(2);
  const { same, ahead, behind, unknown } = told.dataset;
  const text = seconds === "0.00" ? same : offsetMs > 0 ? ahead : behind;
  told.textContent = known ? text.replace("{seconds}", seconds) : unknown;
}
tell();

// One question for the reference's time: how long it took, and the lead that it gives.
async function exchange() {
  const sent = Date.now();
  const answer = await fetch(card.dataset.timeUrl, { cache: "no-store" });
  if (!answer.ok) throw new Error(answer.statusText);
  const { ms } = await answer.json();
  const took = Date.now() - sent;
  return { took, lead: sent + took / 2 - ms };
}

// The exchange that took least time says best.
async function measure() {
  for (let i = 0, best = MOST_TOOK_MS; i < EXCHANGES; i += 1) {
    try {
      const { took, lead } = await exchange();
      if (took <= best) {
        best = took;
        offsetMs = lead;
        known = true;
      }
    } catch {
      // no answer this time: what is known stays known
    }
  }
  tell();
  setTimeout(measure, AGAIN_MS);
}
if (card.dataset.timeUrl) measure();

function draw(canvas, grid) {
  const pen = canvas.getContext("2d");
  const side = grid.length + 8;
  const module = Math.max(1, Math.floor(canvas.clientWidth * devicePixelRatio / side));
  canvas.width = module * side;
  canvas.height = module * side;
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.fillStyle = "#000";
  grid.forEach((row, y) => row.forEach((dark, x) => {
    if (dark) pen.fillRect((x + 4) * module, (y + 4) * module, module, module);
  }));
}

function payload(ms) {
  return `${new Date(ms).toISOString().slice(0, 21)}${known ? "Z" : "J"}`;
}

const shown = [-1, -1];
function tick() {
  const now = Date.now() - offsetMs;
  canvases.forEach((canvas, i) => {
    const turn = Math.floor((now - i * HOLD_MS / 2) / HOLD_MS) * HOLD_MS + i * HOLD_MS / 2;
    if (turn === shown[i]) return;
    shown[i] = turn;
    draw(canvas, codeFor(payload(turn)));
  });
  const iso = new Date(now).toISOString();
  seconds.textContent = iso.slice(11, 21);
  day.textContent = `${iso.slice(0, 10)} UTC`;
  requestAnimationFrame(tick);
}
requestAnimationFrame(tick);
