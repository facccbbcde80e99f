// Unit of lengths and size of text, switched on the spot and remembered in two cookies that the server reads too.
const YEAR = 365 * 24 * 3600;

customElements.define(
  "shown-ways",
  class extends HTMLElement {
    connectedCallback() {
      this.addEventListener("click", (event) => {
        const { show, text } = event.target.closest("button")?.dataset ?? {};
        if (show) this.choose("show", show);
        if (text) this.choose("text", text);
      });
      document.addEventListener("click", (event) => {
        if (!this.contains(event.target)) this.querySelector("details").open = false;
      });
      this.addEventListener("keydown", (event) => {
        if (event.key === "Escape") this.querySelector("details").open = false;
      });
    }

    choose(name, value) {
      document.documentElement.dataset[name] = value;
      document.cookie = `${name}=${encodeURIComponent(value)}; path=/; max-age=${YEAR}; samesite=strict`;
      this.update();
      this.dispatchEvent(new CustomEvent("ways", { bubbles: true }));
    }

    update() {
      const now = document.documentElement.dataset;
      for (const button of this.querySelectorAll("button")) {
        const { show, text } = button.dataset;
        button.ariaPressed = String(show ? show === now.show : text === now.text);
      }
    }
  },
);
