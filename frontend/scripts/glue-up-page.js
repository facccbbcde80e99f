// One stage of a glue-up: a joint or a clamp a screen, and the open time of the glue.
import "./elements/glue-up.js";
import "./elements/sending-line.js";
import "./elements/shown-ways.js";
import { startStation } from "./station.js";

startStation("glue-up", (facts) => `/jobs/${facts.job}/glue-up/${facts.unit}/standing`);
