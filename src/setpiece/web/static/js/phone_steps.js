// The steps of one entry on the phone: what, which side, how, which number; and the line they make.
const BRINGS_NUMBER = new Set(["goal", "yellow", "red"]);
const WORDS = { awarded: "penalty awarded", saved: "penalty saved", missed: "penalty missed", scored: "goal" };

// The next question for what was answered so far; `done` when the line is complete.
export function nextStep({ what, side, how, first, second }) {
  if (!what) return "what";
  if (what === "whistle") return "done";
  if (side === undefined) return "side";
  if (what === "penalty") {
    if (!how) return "how";
    return how === "awarded" || first !== undefined ? "done" : "number";
  }
  if (first === undefined) return "number";
  if (what === "sub" && second === undefined) return "number";
  return "done";
}

// The line of the log; a player that was not seen leaves only the side.
export function lineOf({ what, side, how, way, first, second }, sides) {
  if (what === "whistle") return "whistle";
  const letter = sides[side].letter;
  if (what === "penalty") {
    const tail = how === "scored" ? " penalty" : "";
    return `${WORDS[how]} ${first || letter}${tail}`;
  }
  if (what === "sub") return `sub ${first} for ${second}`;
  return `${what} ${first || letter}${way ? ` ${way}` : ""}`;
}

// Whose numbers are shown: an own goal is by the other side; who comes on is on the bench.
export function playersFor({ what, side, way, first }, sides) {
  const own = sides[what === "goal" && way === "own goal" ? 1 - side : side].players;
  if (what !== "sub") return BRINGS_NUMBER.has(what) ? [...own].sort((a, b) => b.on - a.on || a.number - b.number) : own.filter((p) => p.on);
  return own.filter((p) => (first === undefined ? !p.on : p.on));
}

// Goals that are not sent yet count on the phone's own score.
export function scoreWith(score, keys, sides) {
  const goals = score.split("–").map(Number);
  if (goals.some(Number.isNaN)) return score;
  for (const { line, act } of keys) {
    if (act !== "log" || !line.startsWith("goal ")) continue;
    const letter = line.split(" ")[1].replace(/^\d+/, "");
    const at = sides.findIndex((side) => side.letter === letter);
    if (at >= 0) goals[line.includes("own goal") ? 1 - at : at] += 1;
  }
  return goals.join("–");
}
