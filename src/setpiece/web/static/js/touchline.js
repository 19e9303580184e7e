// The Touchline page: its parts, and how they hear of each other.
import { startClock } from "./clock.js";
import { Walker } from "./walker.js";

const folder = document.body.dataset.match;
const report = document.querySelector("[data-report]");
const walker = new Walker(report, folder);

startClock();

walker.addEventListener("opened", (event) => {
  const frame = event.detail.dataset.opened;
  history.replaceState(null, "", `?frame=${encodeURIComponent(frame)}`);
});
walker.addEventListener("closed", () => history.replaceState(null, "", location.pathname));

document.addEventListener("click", (event) => {
  const link = event.target.closest("a[data-frame]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
  event.preventDefault();
  walker.open(link.dataset.frame);
});

const KEYS = {
  ArrowLeft: () => walker.step(-1),
  ArrowRight: () => walker.step(1),
  ArrowUp: () => walker.stepPassage(-1),
  ArrowDown: () => walker.stepPassage(1),
  Escape: () => walker.close(),
};

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
  if (event.target.closest("input, textarea, select")) return;
  const act = KEYS[event.key];
  if (!act) return;
  event.preventDefault();
  act();
});

if (walker.opened) walker.opened.scrollIntoView({ block: "nearest" });
