// Starts the sorting page; a code in its address is sorted at once.
import "./elements/code-entry.js";
import "./elements/sending-line.js";
import "./elements/shown-ways.js";
import "./elements/sort-station.js";
import { codeIn } from "./logic/piece-code.js";
import { startStation } from "./station.js";

const station = await startStation("sort-station", (facts) => `/jobs/${facts.job}/pieces/standing`);
const sent = codeIn(location.hash.slice(1));
if (sent.code) {
  history.replaceState(null, "", location.pathname);
  station.scanned(sent);
}
