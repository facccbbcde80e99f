// The dry fit of one unit: pieces scanned in, joints ticked one by one; kept on the phone until the bench has them.
import "./elements/code-entry.js";
import "./elements/dry-fit.js";
import "./elements/sending-line.js";
import "./elements/shown-ways.js";
import { startStation } from "./station.js";

startStation("dry-fit", (facts) => `/jobs/${facts.job}/glue-up/${facts.unit}/standing`);
