// Unit of lengths, size of text and which thumb, switched on the spot, remembered in cookies that the server reads too.
const NAMES = ["show", "text", "thumb"];
const YEAR = 365 * 24 * 3600;

customElements.define(
  "shown-ways",
  class extends HTMLElement {
    connectedCallback() {
      this.addEventListener("click", (event) => {
        const chosen = event.target.closest("button")?.dataset ?? {};
        for (const name of NAMES) if (chosen[name]) this.choose(name, chosen[name]);
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
        const name = NAMES.find((one) => one in button.dataset);
        if (name) button.ariaPressed = String(button.dataset[name] === now[name]);
      }
    }
  },
);
