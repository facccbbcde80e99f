"""The first set-up: eleven questions, answered from the shop that ships, make a shop of one's own."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from stopwright.actions.shop.editing import check_shop, save_typed_shop
from stopwright.actions.shop.keeping import shop_state
from stopwright.intake.keys import Document
from stopwright.intake.shop_file import default_shop
from stopwright.intake.typed_shop import typed_shop
from stopwright.plan.stations.making_ready import usually_lost
from stopwright.store.events import Clock, utc_now
from stopwright.store.log import Store

MORTISER_SCALES = ("table height", "depth", "travel from", "travel to", "end stop left", "end stop right")


@dataclass(frozen=True, slots=True)
class Asked:
    """One answer of a question: the field of the shop it fills, and what it is called there."""

    field: str
    label: str
    kind: str = "length"
    choices: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Question:
    """One of them: why it is asked, and the answers that belong to it."""

    title: str
    why: str
    asked: tuple[Asked, ...]


_YES = (("yes", "yes"), ("", "no"))
_BODIES = (("", "a machine by itself"), ("1", "the combination machine"), ("2", "a second combination machine"))
_SHARE = ("jointer", "planer", "saw", "mortiser", "spindle", "borer")
"""Stations of the shop that ships which may be parts of one machine."""
_SHOWN = (
    ("mm", "millimetres"),
    ("1/16 in", "sixteenths of an inch"),
    ("1/32 in", "thirty-seconds"),
    ("1/64 in", "sixty-fourths"),
    ("0.001 in", "thousandths"),
)
QUESTIONS = (
    Question(
        "How do you measure?",
        "Bare numbers mean this unit from here on, below too; a length with its unit is always understood.",
        (
            Asked("name", "Name of the shop", "text"),
            Asked("lengths", "A bare number means", "choice", (("mm", "millimetres"), ("in", "inches"))),
            Asked("show", "Lengths are shown in", "choice", _SHOWN),
        ),
    ),
    Question(
        "How wide a kerf does the saw blade cut?",
        "Rip a board into four strips and measure what is missing: the last piece of a board depends on it.",
        (Asked("saw.kerf", "Kerf"), Asked("saw.trim", "First cut at an end or factory edge")),
    ),
    Question(
        "How far does the rip fence go, and how fine is its scale?",
        "Readings are given to this graduation, with what they are off by. No scale: leave it empty.",
        (
            Asked("saw.width.high", "Widest rip"),
            Asked("saw.width.low", "Narrowest rip"),
            Asked("saw.width.step", "Finest graduation"),
        ),
    ),
    Question(
        "How many flip stops does the crosscut fence carry?",
        "So many lengths can be set at once, and parts go through without a stop being moved.",
        (
            Asked("saw.length.holds", "Flip stops", "number"),
            Asked("saw.length.clearance", "Least distance between two"),
            Asked("saw.length.high", "Longest piece against a stop"),
            Asked("saw.length.step", "Finest graduation"),
        ),
    ),
    Question(
        "What does the thickness planer take?",
        "Heights are planned so that no pass takes more, and shorter pieces are planed while they are long.",
        (
            Asked("planer.greatest_cut", "Most in one pass"),
            Asked("planer.rollers", "Distance between feed rollers"),
            Asked("planer.thickness.step", "Finest graduation of the height"),
            Asked("planer.thickness.low", "Thinnest board"),
            Asked("planer.thickness.high", "Thickest board"),
        ),
    ),
    Question(
        "Do you have a slot mortiser?",
        "Without scales its stops are set to marks on one master piece, and the run sheet names the mark.",
        (
            Asked("has.mortiser", "A slot mortiser", "choice", _YES),
            Asked("has.scales", "Scales on it", "choice", _YES),
            Asked("mortiser.bits", "Bits on hand, with ; between them", "text"),
            Asked("mortiser.reach", "Deepest slot"),
            Asked("mortiser.travel to.high", "Travel of its table"),
        ),
    ),
    Question(
        "How tight do you like a loose tenon?",
        "Tenon stock is planed this much thinner than the bit and ripped this much narrower than the slot.",
        (
            Asked("tenon.fit", "Thinner than the bit"),
            Asked("tenon.play", "Narrower than the slot"),
            Asked("tenon.clearance", "Room at the bottom of a mortise"),
        ),
    ),
    Question(
        "Do you have a spindle moulder?",
        "It rounds tenon strips and runs mouldings; name the cutters as you call them.",
        (
            Asked("has.spindle", "A spindle moulder", "choice", _YES),
            Asked("spindle.cutters", "Cutters, with ; between them", "text"),
            Asked("spindle.spindle height.step", "Finest graduation of its height"),
            Asked("spindle.spindle fence.step", "Finest graduation of its fence"),
        ),
    ),
    Question(
        "Which of your stations share one machine?",
        "One of them is made ready at a time, which costs minutes and settings: the plan changes it over as "
        "seldom as it can. The settings that a change loses are filled in as usual; check them on the next page.",
        (
            *(Asked(f"in.{name}", f"The {name} is", "choice", _BODIES) for name in _SHARE),
            Asked("in.minutes", "Minutes to change it over", "number"),
        ),
    ),
    Question(
        "How much larger do you cut rough?",
        "Boards are laid out with this much over the finished size.",
        (
            Asked("allowance.length", "Extra length"),
            Asked("allowance.width", "Extra width"),
            Asked("allowance.thickness", "Each face"),
        ),
    ),
    Question(
        "Which glue, and how long does it stay open?",
        "The clock of a glue-up counts these minutes down; the maker prints them on the bottle.",
        (
            Asked("glue.name", "Glue", "text"),
            Asked("glue.open_minutes", "Minutes open", "number"),
            Asked("glue.clamp_minutes", "Minutes in clamps", "number"),
        ),
    ),
)
FIELDS = tuple(asked.field for question in QUESTIONS for asked in question.asked)


def first_answers(lengths: str = "mm") -> dict[str, str]:
    """What stands in the questions to begin with: the shop that ships with scales in `lengths`, every unit written.

    >>> first_answers("in")["saw.kerf"], first_answers()["saw.kerf"]
    ('1/8 in', '3.2 mm')
    """
    typed = typed_shop(default_shop(lengths), units_written=True)
    begin = {"has": "yes", "in": ""}
    answers = {field: begin.get(field.split(".")[0]) for field in FIELDS} | {"in.minutes": "5"}
    return {field: str(_at(typed, field)) if answer is None else answer for field, answer in answers.items()}


def typed_from(answers: Mapping[str, str]) -> Document:
    """The shop that the answers make of the one that ships in their unit; what is not asked keeps its figure."""
    typed = typed_shop(default_shop("in" if answers.get("lengths") == "in" else "mm"), units_written=True)
    for field in FIELDS:
        if _is_of_the_shop(field) and field in answers:
            _put(typed, field, answers[field])
    if "mortiser.travel to.high" in answers:
        _put(typed, "mortiser.travel from.high", answers["mortiser.travel to.high"])
    if answers.get("has.scales", "yes") != "yes":
        for axis in _station(typed, "mortiser")["axis"]:
            if axis["sets"] in MORTISER_SCALES:
                axis["step"] = ""
    missing = [name for name in ("mortiser", "spindle") if answers.get(f"has.{name}", "yes") != "yes"]
    typed["station"] = [station for station in typed["station"] if station["name"] not in missing]
    typed["glue"] = typed["glue"][:1]
    typed["machine"] = [_machine(typed, name, stations, answers) for name, stations in _bodies(typed, answers)]
    return typed


def save_first_shop(store: Store, answers: Mapping[str, str], device: str, now: Clock = utc_now) -> Mapping[str, str]:
    """Saves the shop that the answers make; else what is wrong, by the field of the question ("" the whole)."""
    typed = typed_from(answers)
    faults = check_shop(typed)
    if not faults:
        save_typed_shop(store, typed, shop_state(store).version, device, now)
        return {}
    asked = {_path(typed, field): field for field in FIELDS if _is_of_the_shop(field)}
    for number, (_, stations) in enumerate(_bodies(typed, answers)):
        asked |= {f"machine.{number}.{of}": f"in.{stations[0]}" for of in ("name", "stations")}
        asked |= {f"machine.{number}.minutes": "in.minutes"}
    return {asked.get(path, ""): text for path, text in faults.items()}


def _is_of_the_shop(field: str) -> bool:
    """Whether an answer is itself a figure of the shop."""
    return not field.startswith(("has.", "in."))


def _bodies(typed: Document, answers: Mapping[str, str]) -> list[tuple[str, list[str]]]:
    """The combination machines that were answered, by name, with their stations."""
    there = [station["name"] for station in typed["station"]]
    found = []
    for body, name in (("1", "combination machine"), ("2", "second combination machine")):
        stations = [station for station in _SHARE if station in there and answers.get(f"in.{station}") == body]
        found += [(name, stations)] if stations else []
    return found


def _machine(typed: Document, name: str, stations: Sequence[str], answers: Mapping[str, str]) -> Document:
    minutes = answers.get("in.minutes", "")
    works = {station: _station(typed, station)["work"] for station in stations}
    sets = {station: [axis["sets"] for axis in _station(typed, station)["axis"]] for station in stations}
    changes = [
        {"from": from_, "to": to, "minutes": minutes, "loses": lost, "take_off": "", "cover": "", "put_on": ""}
        for from_ in stations
        for to in stations
        if from_ != to and (lost := usually_lost(works[from_], sets[from_], works[to]))
    ]
    return {"name": name, "stations": "; ".join(stations), "minutes": minutes, "change": changes, "share": []}


def _station(typed: Document, name: str) -> Any:
    return next(station for station in typed["station"] if station["name"] == name)


def _place(typed: Document, field: str) -> tuple[Any, str]:
    """The table of the typed shop that holds a field of the questions, and the key in it."""
    steps = field.split(".")
    if len(steps) == 1:
        return typed, field
    if steps[0] == "glue":
        return typed["glue"][0], steps[1]
    if steps[0] in ("tenon", "allowance"):
        return typed[steps[0]], steps[1]
    station = _station(typed, steps[0])
    if len(steps) == 2:
        return station, steps[1]
    return next(axis for axis in station["axis"] if axis["sets"] == steps[1]), steps[2]


def _at(typed: Document, field: str) -> Any:
    table, key = _place(typed, field)
    return table[key]


def _put(typed: Document, field: str, value: str) -> None:
    table, key = _place(typed, field)
    table[key] = value


def _path(typed: Document, field: str) -> str:
    """The name that the page of the shop gives to a field of the questions; "" where its station was left out."""
    steps = field.split(".")
    names = [station["name"] for station in typed["station"]]
    if steps[0] == "glue":
        return f"glue.0.{steps[1]}"
    if len(steps) == 1 or steps[0] in ("tenon", "allowance"):
        return field
    if steps[0] not in names:
        return ""
    number = names.index(steps[0])
    if len(steps) == 2:
        return f"station.{number}.{steps[1]}"
    sets = [axis["sets"] for axis in typed["station"][number]["axis"]]
    return f"station.{number}.axis.{sets.index(steps[1])}.{steps[2]}"
