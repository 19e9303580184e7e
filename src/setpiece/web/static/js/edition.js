// The day and the night edition: by the system, or as chosen on this computer.
const ORDER = ["auto", "day", "night"];
const A_YEAR_S = 31536000;

export function nextEdition(current) {
  return ORDER[(ORDER.indexOf(current) + 1) % ORDER.length];
}

const button = document.querySelector("[data-edition-switch]");
button?.addEventListener("click", () => {
  const root = document.documentElement;
  const edition = nextEdition(root.dataset.edition ?? "auto");
  if (edition === "auto") delete root.dataset.edition;
  else root.dataset.edition = edition;
  document.cookie = `edition=${edition}; path=/; max-age=${A_YEAR_S}; samesite=strict`;
  button.querySelector("[data-edition-name]").textContent = button.dataset[edition];
});
