// A form that is answered while one types and saves itself when one goes on; the server has every rule and every figure.
import { post } from "../wire.js";

const PAUSE = 160;

// Whether a field was changed before this script had arrived.
function touched(form) {
  return [...form.elements].some((field) => {
    if (field.type === "radio" || field.type === "checkbox") return field.checked !== field.defaultChecked;
    if (field.options) return field.selectedIndex !== Math.max(0, [...field.options].findIndex((one) => one.defaultSelected));
    return field.defaultValue !== undefined && field.value !== field.defaultValue;
  });
}

customElements.define(
  "typed-form",
  class extends HTMLElement {
    connectedCallback() {
      this.form = this.querySelector("form.typed");
      this.base = Number(this.dataset.base);
      this.kept = JSON.stringify(this.fields());
      this.form.addEventListener("input", () => this.later());
      this.form.addEventListener("change", () => this.send(true));
      this.form.addEventListener("submit", (event) => {
        event.preventDefault();
        this.send(true);
      });
      this.addEventListener("click", (event) => this.settle(event.target.closest("[data-keep]")?.dataset.keep));
      document.addEventListener("submit", (event) => this.before(event), true);
      document.addEventListener("click", (event) => this.before(event), true);
      addEventListener("pagehide", () => this.unsaved() && this.send(true));
      if (touched(this.form)) {
        this.kept = "";
        this.send(true);
      }
    }

    fields() {
      return [...new FormData(this.form)].map(([name, value]) => [name, String(value)]);
    }

    unsaved() {
      return JSON.stringify(this.fields()) !== this.kept;
    }

    // Puts texts into fields, opens what hides them, and saves.
    fill(sets) {
      for (const [name, value] of Object.entries(sets)) {
        for (const field of /** @type {NodeListOf<HTMLInputElement>} */ (this.form.querySelectorAll(`[name="${CSS.escape(name)}"]`))) {
          if (field.type === "radio" || field.type === "checkbox") field.checked = field.value === value;
          else field.value = value;
          const more = field.closest("details");
          if (more && value) more.open = true;
        }
      }
      this.send(true);
    }

    later() {
      clearTimeout(this.waiting);
      this.waiting = setTimeout(() => this.send(false), PAUSE);
    }

    // One request at a time; what was typed meanwhile goes with the next.
    async send(save) {
      clearTimeout(this.waiting);
      this.wanted = { save: save || (this.wanted?.save ?? false) };
      this.sending ??= this.sendAll().finally(() => (this.sending = undefined));
      return this.sending;
    }

    async sendAll() {
      while (this.wanted) {
        const { save } = this.wanted;
        this.wanted = undefined;
        const fields = this.fields();
        if (save) this.say("Saving …");
        const answer = await post(this.dataset.action, { base: this.base, fields, save });
        if (!answer.ok) {
          this.refused(answer, save);
          return;
        }
        if (save && answer.data.saved) {
          this.kept = JSON.stringify(fields);
          this.base = answer.data.version;
          for (const seen of document.querySelectorAll("input[name=base]")) seen.value = this.base;
        }
        this.show(answer.data);
        if (answer.data.again && !this.wanted) location.reload();
      }
    }

    show({ faults, parts }) {
      const wrong = new Map(faults.map((fault) => [fault.field, fault.text]));
      for (const place of this.form.querySelectorAll("[data-fault]")) {
        const text = wrong.get(place.dataset.fault) ?? "";
        if (place.textContent !== text) place.textContent = text;
        place.closest(".entry")?.classList.toggle("wrong", text !== "");
        const field = this.form.querySelector(`[name="${CSS.escape(place.dataset.fault)}"]`);
        if (field) field.ariaInvalid = text ? "true" : null;
      }
      for (const [name, html] of Object.entries(parts ?? {})) this.replace(name, html);
      const wanting = `${faults.length} ${faults.length === 1 ? "thing" : "things"} to fix`;
      const kept = this.unsaved() ? "Not saved yet" : "Saved";
      this.say(faults.length ? `${kept} · ${wanting}` : kept);
    }

    // The server's own page part in place of the one that stands; it comes from templates that escape every name.
    replace(name, html) {
      const place = document.querySelector(`[data-part="${name}"]`);
      if (!place || place.dataset.was === html) return;
      place.dataset.was = html;
      const focused = place.contains(document.activeElement) ? document.activeElement.getAttribute("href") : null;
      const made = new DOMParser().parseFromString(html, "text/html");
      place.replaceChildren(...made.body.childNodes);
      if (focused) place.querySelector(`[href="${CSS.escape(focused)}"]`)?.focus();
    }

    refused({ status, data }, save) {
      const conflict = this.querySelector("[data-conflict]");
      if (status === 409) {
        this.now = data.version;
        conflict.hidden = false;
        this.say("Not saved");
      } else if (status) this.say(`Not saved: ${data?.error?.what ?? "the bench cannot read it"}. ${data?.error?.next_step ?? ""}`);
      else {
        this.say("Not saved yet: the bench is out of reach. What you typed stands here, and is tried again.");
        setTimeout(() => this.send(save), 2000);
      }
    }

    settle(keep) {
      if (!keep) return;
      this.querySelector("[data-conflict]").hidden = true;
      if (keep === "theirs") location.reload();
      else {
        this.base = this.now;
        this.send(true);
      }
    }

    // Before one goes elsewhere, what is typed is saved.
    async before(event) {
      const way = event.type === "submit" ? event.target : event.target.closest?.("a[href]");
      if (!way || way === this.form || event.defaultPrevented || event.ctrlKey || event.metaKey || event.shiftKey) return;
      if (!this.unsaved() && !this.sending) return;
      event.preventDefault();
      event.stopPropagation();
      await this.send(true);
      if (this.unsaved()) return;
      if (event.type === "submit") way.requestSubmit(event.submitter);
      else if (way.href.split("#")[0] === location.href.split("#")[0]) location.hash = new URL(way.href).hash;
      else location.href = way.href;
    }

    say(text) {
      const place = this.querySelector("[data-state]");
      if (place.textContent !== text) place.textContent = text;
    }
  },
);
