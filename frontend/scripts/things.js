// The page of things to make: entries save themselves, and an opening that is measured makes room for the next one.
import "./elements/typed-form.js";
import { anotherAtTheEnd } from "./another.js";

const entry = document.querySelector("typed-form");

// On a narrow page the list stands above what was chosen from it.
if (entry && location.search && !location.hash && entry.getBoundingClientRect().top > innerHeight / 2 && document.activeElement === document.body) entry.scrollIntoView();

anotherAtTheEnd(entry, "opening");
