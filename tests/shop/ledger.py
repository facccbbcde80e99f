"""The books of the wood: a run sheet's JSON alone, held against plain facts of job and shop, to the nanometre.

Shares nothing with the planner: it knows what each kind of work may take off, and that nothing comes from nowhere.
"""

from collections import Counter, defaultdict
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

Lot = dict[str, Any]
Size = tuple[int, int, int]


@dataclass(frozen=True)
class Facts:
    """What a person knows beside the sheet: sizes in nm, length × width × thickness.

    `parts` by mark: finished size and how many, `panels` by the mark of their strips: how many strips make one, and
    of which part (a blank that is sawn to size after the dry fit counts as one strip); `dry` what belongs to the thing
    of each part that is sawn so; `stock` row by row: size, how many (None: as many as wanted), whether
    a sheet, whether bought planed, whether its ends and edges are trimmed; `bow` row by row. Kerf, trim and greatest
    cut by station; `longest` is the longest board that the jointer takes, `passes` the
    widest panel by station, `calibrating` what the planer leaves.
    """

    parts: dict[str, tuple[Size, int]]
    stock: list[tuple[Size, int | None, bool, bool, bool]]
    kerf: dict[str, int]
    trim: dict[str, int]
    greatest_cut: dict[str, int]
    face_edge: int
    face: int
    panels: dict[str, tuple[int, str]]
    jointing: int
    bow: list[int]
    longest: int | None
    passes: dict[str, int]
    calibrating: int
    dry: dict[str, set[str]]


BEFORE_OR_AFTER = ("glue", "plane", "calibrate", "joint", "sand", "finish")
"""Works on what gets its size after the dry fit that do not wait for it, or come when everything is cut."""


def size_of(lot: Lot) -> Size:
    """Length, width and thickness of one workpiece of the lot, nm."""
    return tuple(lot["size"][field]["nm"] for field in ("length", "width", "thickness"))


def inside(lots: list[Lot]) -> Counter[str]:
    """Finished pieces inside the lots, by mark."""
    counts: Counter[str] = Counter()
    for lot in lots:
        counts.update({one["mark"]: one["count"] for one in lot["becomes"]})
    return counts


class Books:
    """The wood as the runs leave it; `wrong` says everything that does not add up."""

    def __init__(self, sheet: dict[str, Any], facts: Facts) -> None:
        self.facts = facts
        self.wrong: list[str] = []
        self.there: dict[str, Lot | None] = {}
        self.row_of: dict[str, int] = {}
        self.ripped: set[str] = set()
        self.fitted: set[str] = set()
        self.calibrated: dict[str, int] = {}
        self.sections: dict[str, list[int]] = {}
        self._rack(sheet)
        gave: dict[str, str] = {}
        for run in sheet["runs"]:
            self._run(run, gave)
        self._end()

    def say(self, run: dict[str, Any] | None, text: str) -> None:
        self.wrong.append(f"run {run['number']} ({run['work']}): {text}" if run else text)

    def _rack(self, sheet: dict[str, Any]) -> None:
        used: Counter[int] = Counter()
        for board in sheet["stock"]["boards"]:
            self.there[board["lot"]] = None
            self.row_of[board["lot"]] = board["row"]
            layout = sheet["stock"]["layouts"][board["layout"]]
            self.sections[board["lot"]] = [one["length"]["nm"] for one in layout["sections"]]
            used[board["row"]] += sheet["stock"]["layouts"][board["layout"]]["times"]
        for row, count in used.items():
            have = self.facts.stock[row][1]
            if have is not None and count > have:
                self.say(None, f"{count} boards of row {row}, there are {have}")
        for blank in sheet["stock"]["to_buy"]:
            self.there[blank["lot"]] = None

    def _run(self, run: dict[str, Any], gave: dict[str, str]) -> None:
        takes, gives = run["takes"], run["gives"]
        if not takes:
            self.say(run, "takes nothing")
        for lot in takes:
            name = lot["lot"]
            if name not in self.there:
                self.say(run, f"takes {name}, which is not there")
            elif (known := self.there.pop(name)) is None:
                self._from_the_rack(run, lot)
            elif known != lot:
                self.say(run, f"{name} has changed by itself")
        if self._glued(run, inside(takes)) != inside(gives):
            self.say(run, f"holds {dict(inside(takes))}, gives {dict(inside(gives))}")
        after = {gave[lot["lot"]] for lot in takes if lot["lot"] in gave}
        self._dry(run)
        if set(run["after"]) != after and not (run["after_dry_fit"] and after < set(run["after"])):
            self.say(run, f"comes after {run['after']}, takes what {sorted(after)} gave")
        check = getattr(self, f"_{run['work'].replace(' ', '_')}", self._same_size)
        check(run, takes, gives)
        for lot in gives:
            if lot["lot"] in self.there:
                self.say(run, f"gives {lot['lot']} a second time")
            if min(size_of(lot)) <= 0 or lot["count"] < 1:
                self.say(run, f"{lot['lot']} is no workpiece: {size_of(lot)} × {lot['count']}")
            self.there[lot["lot"]] = lot
            gave[lot["lot"]] = run["id"]

    def _dry(self, run: dict[str, Any]) -> None:
        """What gets its size after the dry fit does so when nothing of its thing is cut any more."""
        marks = {one["mark"] for one in run["pieces"]}
        dry = marks & self.facts.dry.keys()
        if run["after_dry_fit"] != (bool(dry) and run["work"] not in BEFORE_OR_AFTER):
            self.say(run, f"works {sorted(marks)}, after the dry fit: {run['after_dry_fit']}")
        if run["work"] not in ("sand", "finish") and (late := marks & self.fitted):
            self.say(run, f"cuts {sorted(late)}, which were put together dry before")
        if run["after_dry_fit"]:
            self.fitted |= {one for mark in dry for one in self.facts.dry[mark]} - self.facts.dry.keys()

    def _glued(self, run: dict[str, Any], here: Counter[str]) -> Counter[str]:
        """What is inside the lots of a run when it is done: strips have become panels where all of them are glued."""
        if run["after_dry_fit"]:
            return Counter({self.facts.panels.get(mark, (1, mark))[1]: count for mark, count in here.items()})
        if run["work"] != "glue" or len(run["gives"]) > 1:
            return here
        shares: dict[str, Fraction] = defaultdict(Fraction)
        for mark, count in here.items():
            strips, panel = self.facts.panels.get(mark, (1, mark))
            if mark == panel:
                self.say(run, f"glues {count} of {mark}")
            shares[panel] += Fraction(count, strips)
        if any(share.denominator != 1 for share in shares.values()):
            self.say(run, f"glues {dict(here)}, which is no whole panel")
        return Counter({panel: int(share) for panel, share in shares.items()})

    def _glue(self, run: dict[str, Any], takes: list[Lot], gives: list[Lot]) -> None:
        if all(lot["form"] == "panel" for lot in takes):
            self._glue_last(run, takes, gives)
            return
        if len({(size_of(lot)[0], size_of(lot)[2]) for lot in takes}) != 1:
            self.say(run, "glues strips of several lengths or thicknesses")
        length, width, thick = size_of(takes[0])
        if len({size_of(lot) for lot in takes}) > 1:
            wide = sum(lot["count"] * size_of(lot)[1] for lot in takes)
            if [(lot["count"], size_of(lot)) for lot in gives] != [(1, (length, wide, thick))]:
                self.say(run, f"gives {[size_of(lot) for lot in gives]}, its strips are {wide} wide together")
            return
        for lot in gives:
            all_in_it = sum(one["count"] for one in (takes if len(gives) == 1 else lot["becomes"]))
            strips = all_in_it // lot["count"]
            if size_of(lot) != (length, strips * width, thick):
                self.say(run, f"{lot['lot']} is {size_of(lot)}, {strips} strips of {size_of(takes[0])} are glued")

    def _glue_last(self, run: dict[str, Any], takes: list[Lot], gives: list[Lot]) -> None:
        """Sub-panels to one panel: as wide as all of them together, every one in it once."""
        if len({(lot["count"], size_of(lot)[0], size_of(lot)[2]) for lot in (*takes, *gives)}) != 1 or len(gives) != 1:
            self.say(run, "glues sub-panels that do not belong together")
        if sum(size_of(lot)[1] for lot in takes) != size_of(gives[0])[1]:
            self.say(run, f"{gives[0]['lot']} is {size_of(gives[0])}, glued of {[size_of(lot) for lot in takes]}")

    def _panel(self, run: dict[str, Any], takes: list[Lot], gives: list[Lot], side: int) -> bool:
        """Whether the run brings panels to the size of its stop, and if so, whether they are large enough for it."""
        if not all(lot["form"] == "panel" or run["after_dry_fit"] for lot in takes):
            return False
        named = [lot | {"lot": given["lot"]} for lot, given in zip(takes, gives, strict=False)]
        for before, after in self._pairs(run, named if run["after_dry_fit"] else takes, gives):
            lost = size_of(before)[side] - run["stops"][0]["target"]["nm"]
            if lost < self.facts.kerf[run["station"]]:
                self.say(run, f"{before['lot']} is too small by {-lost}")
            self._loses(run, before, after, (lost if side == 0 else 0, lost if side == 1 else 0, 0))
        return True

    def _from_the_rack(self, run: dict[str, Any], lot: Lot) -> None:
        row = self.row_of.get(lot["lot"])
        if row is not None and size_of(lot) != self.facts.stock[row][0]:
            self.say(run, f"{lot['lot']} measures {size_of(lot)}, its row {self.facts.stock[row][0]}")

    def _pairs(self, run: dict[str, Any], takes: list[Lot], gives: list[Lot]) -> list[tuple[Lot, Lot]]:
        given = {lot["lot"]: lot for lot in gives}
        if set(given) != {lot["lot"] for lot in takes}:
            self.say(run, "gives other lots than it takes")
        return [(lot, given[lot["lot"]]) for lot in takes if lot["lot"] in given]

    def _loses(self, run: dict[str, Any], before: Lot, after: Lot, lost: Size) -> None:
        left = tuple(size - loss for size, loss in zip(size_of(before), lost, strict=True))
        if size_of(after) != left:
            self.say(run, f"{after['lot']} is {size_of(after)}, {left} is left")

    def _same_size(self, run: dict[str, Any], takes: list[Lot], gives: list[Lot]) -> None:
        for before, after in self._pairs(run, takes, gives):
            if run["work"] == "mitre" and after["form"] == "piece":
                if any(new > old for new, old in zip(size_of(after), size_of(before), strict=True)):
                    self.say(run, f"{after['lot']} has grown")
            else:
                self._loses(run, before, after, (0, 0, 0))

    def _joint(self, run: dict[str, Any], takes: list[Lot], gives: list[Lot]) -> None:
        for place, (before, after) in enumerate(self._pairs(run, takes, gives)):
            if before["form"] == "piece":
                self._loses(run, before, after, (0, 2 * self.facts.jointing, 0))
                continue
            if before["form"] == "panel":
                panel = before["lot"].partition(", ")[0]
                beside = [takes[near]["lot"] for near in (place - 1, place + 1) if 0 <= near < len(takes)]
                meets = sum(one.startswith(f"{panel}, ") for one in beside)
                self._loses(run, before, after, (0, meets * self.facts.jointing, 0))
                continue
            row = self.row_of.get(before["lot"])
            planed = row is not None and self.facts.stock[row][3]
            bow = self.facts.bow[row] if row is not None else 0
            whole = self.facts.stock[row][0][0] if row is not None else 1
            face = size_of(before)[2] - size_of(after)[2]
            least = max(0 if planed else self.facts.face, bow * size_of(before)[0] ** 2 / whole**2)
            if not least <= face <= max(least, bow):
                self.say(run, f"{face} off the face of {before['lot']}, at least {least} is needed")
            if self.facts.longest is not None and size_of(before)[0] > self.facts.longest:
                self.say(run, f"{before['lot']} is too long")
            self._loses(run, before, after, (0, self.facts.face_edge, face))

    def _break_down(self, run: dict[str, Any], takes: list[Lot], gives: list[Lot]) -> None:
        kerf = self.facts.kerf[run["station"]]
        for board in takes:
            mine = [lot for lot in gives if lot["lot"].startswith(f"{board['lot']}, section ")]
            if any(size_of(lot)[1:] != size_of(board)[1:] or lot["count"] != board["count"] for lot in mine):
                self.say(run, f"a section of {board['lot']} is not as wide or thick as the board")
            told = self.sections[board["lot"]]
            if sum(told) + (len(told) - 1) * kerf != size_of(board)[0]:
                self.say(run, f"the sections of {board['lot']} are not the whole board: {told}")
            for lot in mine:
                number = int(lot["lot"].removesuffix(", rest").rpartition(" ")[2])
                if size_of(lot)[0] != told[number - 1]:
                    self.say(run, f"{lot['lot']} is {size_of(lot)[0]} long, told {told[number - 1]}")
            for lot in mine:
                self.row_of[lot["lot"]] = self.row_of[board["lot"]]

    def _calibrate(self, run: dict[str, Any], takes: list[Lot], gives: list[Lot]) -> None:
        for lot in takes:
            self.calibrated.setdefault(lot["lot"], size_of(lot)[2])
        self._plane(run, takes, gives)
        for lot in gives:
            if self.calibrated[lot["lot"]] - size_of(lot)[2] > self.facts.calibrating:
                self.say(run, f"more is sanded off {lot['lot']} than the planer is to leave")

    def _plane(self, run: dict[str, Any], takes: list[Lot], gives: list[Lot]) -> None:
        height = run["stops"][0]["target"]["nm"]
        passes = self.facts.passes.get(run["station"])
        for before, after in self._pairs(run, takes, gives):
            cut = size_of(before)[2] - height
            if not 0 < cut <= self.facts.greatest_cut[run["station"]]:
                self.say(run, f"{cut} nm off {after['lot']} in one pass")
            if before["form"] == "panel" and passes is not None and size_of(before)[1] > passes:
                self.say(run, f"{before['lot']} is too wide to pass")
            self._loses(run, before, after, (0, 0, cut))

    def _rip(self, run: dict[str, Any], takes: list[Lot], gives: list[Lot]) -> None:
        if self._panel(run, takes, gives, side=1):
            return
        width, kerf = run["stops"][0]["target"]["nm"], self.facts.kerf[run["station"]]
        strips: dict[str, list[Lot]] = defaultdict(list)
        rests: dict[str, Lot] = {}
        for lot in gives:
            source = lot["lot"].rpartition(", ")[0] if lot["form"] in ("strip", "offcut") else lot["lot"]
            if lot["form"] == "strip":
                strips[source].append(lot)
            else:
                rests[source] = lot
        for before in takes:
            length, wide, thick = size_of(before)
            row = self.row_of.get(before["lot"])
            first = before["lot"] not in self.ripped
            self.ripped.add(before["lot"])
            trimmed = first and row is not None and self.facts.stock[row][2] and self.facts.stock[row][4]
            wide -= self.facts.trim[run["station"]] if trimmed else 0
            mine = strips[before["lot"]]
            if not mine:
                self.say(run, f"{before['lot']} gives no strip")
            for strip in mine:
                if size_of(strip) != (length, width, thick) or strip["count"] != before["count"]:
                    self.say(run, f"{strip['lot']} is {size_of(strip)} × {strip['count']}")
            used = len(mine) * width + (len(mine) - 1) * kerf
            if used > wide:
                self.say(run, f"{before['lot']} is too narrow: {used} of {wide}")
            rest = rests.get(before["lot"])
            if rest and size_of(rest) != (length, wide - used - kerf, thick):
                self.say(run, f"{rest['lot']} is {size_of(rest)}, {wide - used - kerf} is left of its width")

    def _square(self, run: dict[str, Any], takes: list[Lot], gives: list[Lot]) -> None:
        for before, after in self._pairs(run, takes, gives):
            row = self.row_of.get(before["lot"].rpartition(", strip")[0])
            trimmed = row is None or self.facts.stock[row][4]
            self._loses(run, before, after, (self.facts.trim[run["station"]] if trimmed else 0, 0, 0))

    def _crosscut(self, run: dict[str, Any], takes: list[Lot], gives: list[Lot]) -> None:
        if self._panel(run, takes, gives, side=0):
            return
        kerf = self.facts.kerf[run["station"]]
        pieces = {one["mark"]: lot for lot in gives if lot["form"] in ("piece", "blank") for one in lot["becomes"]}
        stop = run["stops"][0]["target"]["nm"] if run["stops"] else None
        along = {mark: size_of(lot)[0] if stop is None else stop for mark, lot in pieces.items()}
        left = {lot["lot"].removesuffix(", rest"): lot for lot in gives if lot["form"] in ("strip", "board", "offcut")}
        for lot in pieces.values():
            if stop is not None and stop not in size_of(lot)[:2]:
                self.say(run, f"{lot['lot']} is {size_of(lot)}")
        for strip in takes:
            rest = left.get(strip["lot"])
            here = inside([strip]) - inside([rest] if rest else [])
            cuts = {mark: count // strip["count"] for mark, count in here.items() if mark in along}
            long = size_of(strip)[0] - sum(count * (along[mark] + kerf) for mark, count in cuts.items())
            if not cuts or long < -kerf:
                self.say(run, f"{strip['lot']} is too short by {-long}")
            if rest and size_of(rest) != (long, *size_of(strip)[1:]):
                self.say(run, f"{rest['lot']} is {size_of(rest)}, {long} is left of its length")

    def _end(self) -> None:
        made: Counter[str] = Counter()
        for name, lot in self.there.items():
            if lot is None:
                self.say(None, f"{name} is left on the rack")
            elif lot["form"] not in ("piece", "offcut"):
                self.say(None, f"{name} is left as a {lot['form']}")
            else:
                made += inside([lot])
                for mark in inside([lot]):
                    wanted = self.facts.parts[mark][0]
                    if size_of(lot) != wanted:
                        self.say(None, f"{name} is {size_of(lot)}, part {mark} is {wanted}")
        wanted_counts = Counter({mark: count for mark, (_, count) in self.facts.parts.items()})
        if made != wanted_counts:
            self.say(None, f"made {dict(made)}, wanted {dict(wanted_counts)}")


def check_ledger(sheet: dict[str, Any], facts: Facts) -> list[str]:
    """Everything that does not add up on a run sheet of version 2; empty where it can be worked as printed."""
    return Books(sheet, facts).wrong
