// Pairing a phone: the code comes with the photographed link, or is typed.
const form = document.querySelector("[data-pair]");
form.elements.code.value = location.hash.slice(1).replace(/\D/g, "");
history.replaceState(null, "", location.pathname);

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  const said = form.querySelector("[data-form-said]");
  try {
    const answer = await fetch("/phone/pair", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ code: form.elements.code.value, name: form.elements.name.value }),
    });
    const { go, wrong } = await answer.json();
    said.textContent = wrong ?? "";
    if (go) location.assign(go);
  } catch {
    said.textContent = "✗";
  }
});
