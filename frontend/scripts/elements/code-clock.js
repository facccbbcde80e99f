// Counts down how long the code on the screen still pairs a phone.
customElements.define(
  "code-clock",
  class extends HTMLElement {
    connectedCallback() {
      const until = performance.now() + 1000 * Number(this.getAttribute("seconds"));
      const update = () => {
        const left = Math.max(0, Math.ceil((until - performance.now()) / 1000));
        this.textContent = left ? `${left} seconds more` : "expired: show another code";
        if (left) setTimeout(update, 500);
      };
      update();
    }
  },
);
