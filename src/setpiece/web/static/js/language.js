// The language of the pages: by the browser, or as chosen on this computer.
const A_YEAR_S = 31536000;

for (const button of document.querySelectorAll("[data-language]")) {
  button.addEventListener("click", () => {
    document.cookie = `language=${button.dataset.language}; path=/; max-age=${A_YEAR_S}; samesite=strict`;
    location.reload();
  });
}
