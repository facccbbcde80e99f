// Starts the board: it follows the bench, and loads itself anew when the run sheet is another one.
import "./elements/job-board.js";
import "./elements/shown-ways.js";
import { stayAwake } from "./device.js";
import { Follower } from "./follower.js";

const read = (id) => JSON.parse(document.getElementById(id).textContent);
const facts = read("facts");
const board = document.querySelector("job-board");
board.begin({ facts, word: read("standing") });
new Follower(facts.job, board).open();
stayAwake();
