"""What the bench says to a joint, mitre, moulding or cut as it is typed: faults, what the machine will do, advice."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from stopwright.actions.jobs.joints_editing import Readable, faults_in, joint_values, readable, rows_of
from stopwright.actions.jobs.planning import shop_for
from stopwright.errors import StopwrightError
from stopwright.intake.draft import CellFault
from stopwright.lengths import MM, Nm, Show, format_exact, parse_length
from stopwright.model.cuts import Cut
from stopwright.model.gear import Blade
from stopwright.model.job import Job
from stopwright.model.joints import POST_SIDES, Joint, RailEnds, Side
from stopwright.model.parts import Part
from stopwright.model.shaping import Mitre, Moulding
from stopwright.model.solid import Solid
from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan.joinery.joint_advice import LENGTHS, Advice, advice_for, depth_that_stays_clear, usual_joint
from stopwright.plan.joinery.mortise_checks import check_joints
from stopwright.plan.joinery.mortise_setups import MORTISER_AXES, Placing, Working, positions, workings_of
from stopwright.plan.joinery.slots import Slot, horn_of, slots_of
from stopwright.plan.joinery.spacing import Spaced, space_evenly
from stopwright.plan.joinery.tenons import tenon_stock
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.operations.mitre import kerf_along_fence, mitre_cut, mitre_setups
from stopwright.plan.operations.mould import mould_setups
from stopwright.plan.operations.operation import Task
from stopwright.plan.run_sheet import Remark, Run, TenonStock, Wood
from stopwright.plan.schedule import runs_of
from stopwright.plan.timber.wood import WoodPlan

EVERY_AXIS = Station("mortiser", ("mortise",), tuple(Axis(str(sets), sets) for sets in MORTISER_AXES))
"""A mortiser on which everything can be set: where its stops stand is what any mortiser must do."""


@dataclass(frozen=True, slots=True)
class Sketch:
    """Two pieces of a joint as far as they are known; lengths in nm, `others` are the post's other slots."""

    post: Part
    rail: Part
    side: Side | None
    values: Mapping[str, Any]
    horn: Nm = 0
    others: tuple[Slot, ...] = ()

    def length(self, field: str, otherwise: Nm = 0) -> Nm:
        """A length of the joint, `otherwise` where it is not known yet."""
        value = self.values.get(field)
        return value if isinstance(value, int) and value >= 0 else otherwise


@dataclass(frozen=True, slots=True)
class Offer:
    """One-click advice: words, and the text of every field that it changes."""

    words: str
    sets: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class AtTheMortiser:
    """Slots that are made with the piece lying in one way: how it lies, height and depth, and every travel, nm."""

    working: Working
    height: Nm
    depth: Nm
    travels: tuple[tuple[Nm, Nm], ...]


@dataclass(frozen=True, slots=True)
class CutPiece:
    """A part with what a cut takes out of it, and the side that is chosen, "" if none."""

    part: Part
    side: str
    solids: tuple[Solid, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """All there is to say to one row. `faults` stop it from being read, `remarks` are the shop's rules."""

    faults: tuple[CellFault, ...]
    sketch: Sketch | None = None
    mortiser: tuple[AtTheMortiser, ...] = ()
    tenon: TenonStock | None = None
    clear_depth: Nm | None = None
    forbidden: tuple[Remark, ...] = ()
    doubtful: tuple[Remark, ...] = ()
    offers: tuple[Offer, ...] = ()
    runs: tuple[Run, ...] = ()
    piece: CutPiece | None = None
    lengths: tuple[tuple[str, Nm], ...] = ()


@dataclass(frozen=True, slots=True)
class Slats:
    """Even spacing of slats as asked for: what is wrong with the asking, or how they lie and what sets them so."""

    fault: str = ""
    spaced: Spaced | None = None
    offer: Offer | None = None


def answer_joint(document: Mapping[str, Any], row: int, shop: Shop) -> Answer:
    """The answer to a joint as typed; what cannot be read yet is left out of it."""
    faults = faults_in(document, "joint", row)
    found = readable(document)
    if found is None:
        return Answer(faults)
    shop, job = shop_for(found.job, shop), found.job
    station = shop.station_for("mortise") or EVERY_AXIS
    sketch = _sketch(document, row, found)
    joint = found.thing("joint", row)
    if not isinstance(joint, Joint):
        return Answer(faults, sketch, offers=_first_offers(sketch, shop, station, job.lengths))
    forbidden, doubtful = check_joints(job, shop, station)
    tenons = tenon_stock(job, shop)
    return Answer(
        faults,
        sketch,
        tuple(_at_the_mortiser(job, joint)),
        next((tenon for tenon in tenons if tenon.joint == joint.mark), None),
        depth_that_stays_clear(job, joint, shop),
        tuple(remark for remark in forbidden if _is_about(remark, joint)),
        tuple(remark for remark in doubtful if _is_about(remark, joint)),
        tuple(_offer(advice, job.lengths) for advice in advice_for(job, joint, shop, station)),
    )


def answer_mitre(document: Mapping[str, Any], row: int, shop: Shop) -> Answer:
    """The answer to a mitre as typed: the saw's runs, and the lengths that follow."""
    faults, found = faults_in(document, "mitre", row), readable(document)
    mitre = found.thing("mitre", row) if found else None
    if found is None or not isinstance(mitre, Mitre):
        return Answer(faults)
    shop, job = shop_for(found.job, shop), replace(found.job, mitres=(mitre,))
    saw = shop.station_for("mitre")
    if saw is None:
        return Answer(faults, forbidden=(Remark("shop", "no station of this shop cuts mitres; add the work to a saw"),))
    cut, asked = mitre_cut(job, mitre), mitre_setups(job, shop, saw)
    lengths = [("From long point to long point", cut.long_point)]
    if mitre.ends is not RailEnds.BOTH:
        lengths = [("Along the long edge", cut.long_point)]
    lengths += [("Along the short edge", cut.short_point)]
    lengths += [("One cut takes along the fence", kerf_along_fence(saw.of(Blade).kerf, mitre.degrees))]
    return Answer(
        faults, forbidden=asked.faults, doubtful=asked.warnings, runs=runs_of(asked, shop), lengths=tuple(lengths)
    )


def answer_moulding(document: Mapping[str, Any], row: int, shop: Shop) -> Answer:
    """The answer to a moulding as typed: the spindle's runs, pass after pass."""
    faults, found = faults_in(document, "moulding", row), readable(document)
    moulding = found.thing("moulding", row) if found else None
    if found is None or not isinstance(moulding, Moulding):
        return Answer(faults)
    shop, job = shop_for(found.job, shop), replace(found.job, mouldings=(moulding,))
    spindle = shop.station_for("mould")
    if spindle is None:
        return Answer(faults, forbidden=(Remark("shop", "no station of this shop runs mouldings; add a spindle"),))
    asked = mould_setups(job, shop, spindle)
    return Answer(faults, forbidden=asked.faults, doubtful=asked.warnings, runs=runs_of(asked, shop))


def answer_cut(document: Mapping[str, Any], table: str, row: int, shop: Shop) -> Answer:
    """The answer to a cut as typed: the runs it takes by itself, and the part with what is cut out of it."""
    faults, found = faults_in(document, table, row), readable(document)
    cut = found.thing(table, row) if found else None
    if found is None:
        return Answer(faults)
    named = _cut_part(document, table, row, found.job)
    if not isinstance(cut, Cut):
        return Answer(faults, piece=CutPiece(named, _side(document, table, row), ()) if named else None)
    shop, job = shop_for(found.job, shop), replace(found.job, joints=(), mouldings=(), cuts=(cut,))
    operation = next(one for one in OPERATIONS.values() if type(cut) in one.asked)
    asked = operation.setups(Task(job, job.parts, WoodPlan(Wood(), (), ()), shop, job.flow))
    part = job.part(cut.parts[0])
    piece = CutPiece(part, _side(document, table, row), tuple(cut.removes(job, part)))
    return Answer(faults, forbidden=asked.faults, doubtful=asked.warnings, runs=runs_of(asked, shop), piece=piece)


def _cut_part(document: Mapping[str, Any], table: str, row: int, job: Job) -> Part | None:
    marks = rows_of(document, table)[row].get("parts")
    first = marks[0] if isinstance(marks, list) and marks else marks
    return next((part for part in job.parts if part.mark == first), None)


def _side(document: Mapping[str, Any], table: str, row: int) -> str:
    return str(rows_of(document, table)[row].get("side", ""))


def space_slats(asked: Mapping[str, str], document: Mapping[str, Any], row: int) -> Slats | None:
    """Even gaps for rails between two places of a post; None while nothing is asked.

    `asked` holds texts: `from` and `to`, both measured from the post's marked end, and `count`.
    """
    start, end, number = (" ".join(asked.get(name, "").split()) for name in ("from", "to", "count"))
    unit = str(document.get("lengths", "mm"))
    found = readable(document)
    sketch = _sketch(document, row, found) if found else None
    if not (end and number) or sketch is None:
        return None
    if not number.isascii() or not number.isdigit() or not 1 <= int(number) <= 200:
        return Slats(f"'{number[:20]}' is not a number of rails; write for example 5")
    try:
        first, last = parse_length(start or "0", unit), parse_length(end, unit)
        spaced = space_evenly(
            last - first, int(number), sketch.rail.width, MM // 2 if unit == "mm" else Show.SIXTY_FOURTHS.mark
        )
    except StopwrightError as error:
        return Slats(f"{error.what}; {error.next_step}")
    sets = {"drop": format_exact(first + spaced.gap, unit), "repeat": number}
    sets["spacing"] = format_exact(spaced.pitch, unit) if int(number) > 1 else ""
    return Slats("", spaced, Offer(f"Put {number} rails there", sets))


def _at_the_mortiser(job: Job, joint: Joint) -> Iterator[AtTheMortiser]:
    lying: dict[tuple[object, ...], list[Working]] = {}
    for one in workings_of(job):
        if joint.mark in one.slot.joints:
            lying.setdefault((one.slot.part, one.slot.side, one.slot.centre, one.mirrored), []).append(one)
    for alike in lying.values():
        stands = [dict(positions(one, Placing(), EVERY_AXIS)) for one in alike]
        travels = tuple((one["travel from"], one["travel to"]) for one in stands)
        yield AtTheMortiser(alike[0], stands[0]["table height"], stands[0]["depth"], travels)


def _sketch(document: Mapping[str, Any], row: int, found: Readable) -> Sketch | None:
    rows = rows_of(document, "joint")
    if not 0 <= row < len(rows):
        return None
    values = joint_values(rows[row], found.job.lengths)
    parts = {part.mark: part for part in found.job.parts}
    post, rail = parts.get(values.get("post", "")), parts.get(values.get("rail", ""))
    if post is None or rail is None:
        return None
    side = values.get("side") if values.get("side") in POST_SIDES else None
    mark = values.get("mark", "")
    others = replace(found.job, joints=tuple(joint for joint in found.job.joints if joint.mark != mark))
    return Sketch(post, rail, side, values, horn_of(found.job, post.mark), slots_of(others, post.mark))


def _first_offers(sketch: Sketch | None, shop: Shop, station: Station, unit: str) -> tuple[Offer, ...]:
    """Usual figures for what is still empty, as soon as both pieces and the side are known."""
    if sketch is None or sketch.side is None:
        return ()
    figures = usual_joint(sketch.post, sketch.rail, sketch.side, shop, station)
    empty = {field: value for field, value in figures.items() if sketch.values.get(field) is None and value is not None}
    if "count" in empty and sketch.values.get("count") is not None:
        empty.pop("count")
    return (_offer(Advice("Fill in usual figures for these two pieces", empty), unit),) if empty else ()


def _offer(advice: Advice, unit: str) -> Offer:
    return Offer(advice.words, dict(_texts(advice, unit)))


def _texts(advice: Advice, unit: str) -> Iterator[tuple[str, str]]:
    for field, value in advice.sets.items():
        if isinstance(value, bool):
            yield field, "yes" if value else ""
        elif isinstance(value, int) and field in LENGTHS:
            yield field, format_exact(value, unit)
        else:
            yield field, "" if value is None else str(value)


def _is_about(remark: Remark, joint: Joint) -> bool:
    return bool({joint.mark, joint.post, joint.rail} & set(remark.about.split(", ")))
