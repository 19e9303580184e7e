// Shows two codes that change in turn, each five times a second, a tenth of a second apart: a
// photograph may catch one of them changing, never both. Each holds the instant at which it
// appeared. The instant is the device's clock less `data-offset-ms`, its measured lead over the
// match's reference clock (absent: not known, and the page says so).

const HOLD_MS = 200;
const card = document.querySelector("[data-clock-card]");
const canvases = [...card.querySelectorAll("canvas")];
const seconds = card.querySelector("[data-seconds]");
const day = card.querySelector("[data-day]");
const told = card.querySelector("[data-told]");
const known = card.dataset.offsetMs !== undefined;
const offsetMs = Number(card.dataset.offsetMs || 0);

told.textContent = known
  ? told.dataset.known.replace("{seconds}", (offsetMs / 1000).toFixed(2))
  : told.dataset.unknown;

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
  return `${new Date(ms).toISOString().slice(0, 21)}Z`;
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
