// A note on a set-up, typed on the phone's own keyboard. Says "noted" with the text.
const MOST = 400;

customElements.define(
  "note-pad",
  class extends HTMLElement {
    connectedCallback() {
      this.innerHTML = `<dialog aria-labelledby="note-about"><form method="dialog">
        <h2><label id="note-about" for="note-text">Note on this set-up</label></h2>
        <textarea id="note-text" maxlength="${MOST}"></textarea>
        <div class="ends"><button type="button" class="quiet" value="">Not now</button><button class="go">Keep it</button></div>
      </form></dialog>`;
      this.dialog = this.querySelector("dialog");
      this.text = this.querySelector("textarea");
      this.querySelector("[value='']").onclick = () => this.dialog.close();
      this.dialog.onclose = () => this.dispatchEvent(new Event("closed"));
      this.querySelector("form").onsubmit = () => {
        const text = this.text.value.trim();
        if (text) this.dispatchEvent(new CustomEvent("noted", { detail: text }));
      };
    }

    open() {
      this.text.value = "";
      this.dialog.showModal();
      this.text.focus();
      this.dispatchEvent(new Event("opened"));
    }

    get isOpen() {
      return this.dialog.open;
    }
  },
);
