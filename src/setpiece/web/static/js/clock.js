// The masthead's clock: runs on from what the server said, by this computer's own tick.
export function elapsedText(seconds) {
  const whole = Math.max(0, Math.floor(seconds));
  const pad = (n) => String(n).padStart(2, "0");
  return `${pad(Math.floor(whole / 60))}:${pad(whole % 60)}`;
}

export class MatchClock {
  constructor(element, now = () => performance.now()) {
    this.element = element;
    this.now = now;
    this.began = now();
    this.at = Date.parse(element.dataset.at);
    this.elapsed = element.dataset.elapsed === undefined ? null : Number(element.dataset.elapsed);
    this.form = new Intl.DateTimeFormat("en-GB", {
      hour: "2-digit", minute: "2-digit", second: "2-digit", timeZone: element.dataset.zone,
    });
  }

  tick() {
    const gone = (this.now() - this.began) / 1000;
    const time = this.element.querySelector("[data-clock-time]");
    const zone = time.textContent.slice(time.textContent.indexOf(" "));
    time.textContent = this.form.format(new Date(this.at + gone * 1000)) + zone;
    if (this.elapsed === null) return;
    const standing = this.element.querySelector("[data-clock-standing]");
    standing.textContent = standing.textContent.replace(/^\d+:\d\d/, elapsedText(this.elapsed + gone));
  }
}

export function startClock(root = document) {
  const element = root.querySelector("[data-clock]");
  if (!element) return;
  const clock = new MatchClock(element);
  const beat = () => {
    if (!element.isConnected) return;
    if (!document.hidden) clock.tick();
    setTimeout(beat, 1000 - (Date.now() % 1000));
  };
  beat();
}
