// The machine is needed for something else: what stands is noted, what is moved is ticked, and what goes is said. It is
// opened again when the machine is free: what was moved meanwhile is ticked then.
import { length } from "../lengths.js";
import { goesWords, standing, stopName } from "../logic/machines.js";

customElements.define(
  "machine-needed",
  class extends HTMLElement {
    connectedCallback() {
      this.innerHTML = `<dialog aria-labelledby="needed-about"><form method="dialog">
        <h2 id="needed-about"></h2>
        <p class="soft">What stands is noted. What nobody touches stays as it is; tick what is moved, now or when you come back.</p>
        <fieldset class="stands"><legend>What stands; tick what is moved</legend></fieldset>
        <p class="nothing soft">No stop has been set here yet.</p>
        <fieldset class="ready"><legend>It is made ready for</legend></fieldset>
        <p class="goes notice care" role="status"></p>
        <div class="ends"><button type="button" class="quiet" value="">Not now</button><button class="go">Note it</button></div>
      </form></dialog>`;
      this.dialog = this.querySelector("dialog");
      this.dialog.onclose = () => this.dispatchEvent(new Event("closed"));
      this.querySelector("[value='']").onclick = () => this.dialog.close();
      this.querySelector("form").onchange = () => this.update();
      this.querySelector("form").onsubmit = () => this.dispatchEvent(new CustomEvent("used", { detail: this.told() }));
    }

    // Opens at one run of a sheet; `states` and `machines` are how runs and machines stand.
    open(run, sheet, states, machines) {
      const machine = sheet.machines[run.machine];
      const stations = machine?.stations ?? [run.station];
      const ready = machines.ready[run.machine] ?? run.station;
      this.run = run;
      this.machine = machine;
      this.ready = ready;
      this.stands = standing(stations, sheet.runs, states, machines);
      this.querySelector("h2").textContent = `The ${run.machine || run.station} is needed for something else`;
      const rows = this.stands.map((one) => row("checkbox", "moved", stopName(one.station, one.axis), [`${stations.length > 1 ? `${one.station}, ` : ""}${one.name} `, length(one.texts)]));
      fill(this.querySelector(".stands"), rows);
      this.querySelector(".nothing").hidden = rows.length > 0;
      fill(this.querySelector(".ready"), (machine?.stations ?? []).map((one) => row("radio", "ready", one, [one === ready ? `${one}, as it is` : one], one === ready)));
      this.update();
      this.dialog.showModal();
      this.dispatchEvent(new Event("opened"));
    }

    get isOpen() {
      return this.dialog.open;
    }

    // What a change to the chosen station loses is ticked by itself.
    update() {
      const lost = this.lost();
      for (const box of this.querySelectorAll("input[name=moved]")) {
        box.disabled = lost.has(box.value);
        box.parentElement.classList.toggle("goes-too", box.disabled);
      }
      this.querySelector(".goes").textContent = goesWords(this.ticked(), this.stands.map((one) => stopName(one.station, one.axis)).filter((one) => lost.has(one)));
    }

    ticked() {
      return [...this.querySelectorAll("input[name=moved]:checked")].map((box) => box.value);
    }

    chosen() {
      return this.querySelector("input[name=ready]:checked")?.value ?? this.ready;
    }

    lost() {
      const pairs = this.chosen() === this.ready ? [] : this.machine.changes[stopName(this.ready, this.chosen())].lost;
      return new Set(pairs.map(([station, axis]) => stopName(station, axis)));
    }

    told() {
      const moved = [...new Set([...this.ticked(), ...this.lost()])].map((one) => one.split("\n"));
      const stands = this.stands.map((one) => [one.station, one.axis, one.place]);
      return { run: this.run.key, moved, stands, ...(this.machine && { machine: this.run.machine, ready: this.chosen() }) };
    }
  },
);

function fill(box, rows) {
  box.hidden = !rows.length;
  box.replaceChildren(box.querySelector("legend"), ...rows);
}

function row(type, name, value, words, checked = false) {
  const label = document.createElement("label");
  const input = Object.assign(document.createElement("input"), { type, name, value, checked });
  const said = document.createElement("span");
  said.append(...words);
  label.append(input, said);
  return label;
}
