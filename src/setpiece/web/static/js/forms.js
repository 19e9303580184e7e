// Forms that are sent as JSON; what is wrong, or what was done, stands beside the button.
import { startClock } from "./clock.js";
import { fetched, parsed } from "./fragments.js";

export function valuesOf(form) {
  return Object.fromEntries([...new FormData(form)].map(([name, value]) => [name, String(value)]));
}

async function send(form) {
  const said = form.querySelector("[data-form-said]");
  let answer;
  try {
    const response = await fetch(form.dataset.send, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(valuesOf(form)),
    });
    answer = await response.json();
  } catch {
    said.textContent = "✗";
    return;
  }
  said.className = answer.wrong ? "wrong" : "right";
  said.textContent = answer.wrong ?? answer.said ?? "";
  if (answer.go) location.assign(answer.go);
  else if (!answer.wrong && "stay" in form.dataset) await renew(form, said.textContent);
}

// The page is read again around the form; the form that was sent keeps what it says.
async function renew(form, text) {
  const main = parsed(await fetched(location.href)).querySelector("main");
  const same = [...main.querySelectorAll("form[data-send]")].find((other) => twins(form, other));
  document.querySelector("main").replaceWith(main);
  if (!same) return;
  const said = same.querySelector("[data-form-said]");
  said.className = "right";
  said.textContent = text;
  same.closest("details")?.setAttribute("open", "");
  same.querySelector("button")?.focus();
}

function twins(one, other) {
  const key = (form) => [form.dataset.send, form.elements.id?.value, form.elements.wearer?.value].join();
  return key(one) === key(other);
}

document.addEventListener("submit", (event) => {
  const form = event.target.closest("form[data-send]");
  if (!form) return;
  event.preventDefault();
  send(form);
});

startClock();
