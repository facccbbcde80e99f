"""Loose tenons: sized from their slots, counted with spares, and made parts of the job like any other."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

from stopwright.lengths import Nm, format_difference, format_exact, format_length, nearest
from stopwright.model.cuts import TenonAsked
from stopwright.model.gear import Blade
from stopwright.model.job import Job
from stopwright.model.joints import EDGES
from stopwright.model.parts import Kind, LooseTenon, Part
from stopwright.model.shaping import Moulding, Pass
from stopwright.model.stations import Shop
from stopwright.plan.run_sheet import Remark, TenonStock

TENON = "Loose tenon"
"""What a loose tenon is called in lists."""


def tenon_stock(job: Job, shop: Shop) -> tuple[TenonStock, ...]:
    """The loose tenons of every joint and cut, in the job's order; those that would have no size are left out.

    thickness = bit − fit · width = slot − play · length = both depths − 2 × clearance · edge radius = thickness/2,
    as the slot's ends are round. `strip` = n × length + (n − 1) × kerf + trim, for tenons and spares.

    >>> from stopwright.lengths import MM
    >>> from stopwright.model.stations import Station
    >>> rail, post = Part("B", "Rail", 2, 400 * MM, 80 * MM, 22 * MM), Part("A", "Post", 4, 700 * MM, 45 * MM, 45 * MM)
    >>> from stopwright.model.joints import Joint
    >>> joint = Joint("J1", "A", "B", EDGES[0], 16 * MM, 64 * MM, 8 * MM, 30 * MM, 30 * MM)
    >>> shop = Shop("Ours", (Station("saw", ("crosscut",), gear=(Blade(kerf=3 * MM, trim=5 * MM),)),))
    >>> one = tenon_stock(Job("Frame", (post, rail), joints=(joint,)), shop)[0]
    >>> one.thickness / MM, one.width / MM, one.length / MM, one.count, one.spares  # 30 + 30 − 3.2 = 56.8
    (7.9, 47.2, 56.8, 4, 2)
    >>> one.strip / MM  # 6 × 56.8 + 5 × 3 + 5
    360.8
    """
    return tuple(stock for one in _asked(job) if (stock := _tenons_of(one, shop)))


def tenon_parts(job: Job, shop: Shop) -> tuple[Part, ...]:
    """The tenons as parts of the job, equal ones of several joints as one, under marks that are free: T1, T2 …

    Their kind is moulding: planed, ripped and rounded at the spindle while long, cut to length at the end.
    """
    taken = {part.mark for part in job.parts}
    most = len(taken) + len(job.joints) + len(job.cuts) + 2
    free = (mark for number in range(1, most) if (mark := f"T{number}") not in taken)
    return tuple(
        LooseTenon(
            mark=next(free),
            name=TENON,
            quantity=sum(stock.count + stock.spares for stock in alike),
            length=alike[0].length,
            width=alike[0].width,
            thickness=alike[0].thickness,
            material=one.material,
            kind=Kind.MOULDING,
            note=f"for {', '.join(stock.joint for stock in alike)}",
        )
        for one, alike in _alike(job, shop)
    )


def tenon_marks(job: Job, shop: Shop) -> dict[str, str]:
    """The mark of the tenons of each joint, by the mark of the joint."""
    parts = tenon_parts(job, shop)
    return {
        stock.joint: part.mark for part, (_, alike) in zip(parts, _alike(job, shop), strict=True) for stock in alike
    }


def with_tenons(job: Job, shop: Shop) -> Job:
    """The job with its loose tenons as parts, their edges rounded at the spindle; without any the job itself.

    Tenons of one thickness share a set-up. The cutter is named for the bit's radius, in the unit of the shop. The
    spindle's height is the middle of the tenon; its fence stands at 0, in line with the deepest of the cutter.
    """
    parts = tenon_parts(job, shop)
    passes: dict[Pass, list[str]] = defaultdict(list)
    for part, (one, _) in zip(parts, _alike(job, shop), strict=True):
        cutter = f"round {format_exact(one.bit // 2, shop.lengths)}"
        passes[Pass(cutter, part.thickness // 2, 0)].append(part.mark)
    taken = {moulding.mark for moulding in job.mouldings}
    mouldings = []
    for one_pass, marks in passes.items():
        mark = ", ".join(marks)
        mark = f"{mark} edges" if mark in taken else mark
        mouldings.append(Moulding(mark, tuple(marks), (one_pass,), EDGES))
    return replace(job, parts=(*job.parts, *parts), mouldings=(*job.mouldings, *mouldings)) if parts else job


def tenon_remarks(job: Job, shop: Shop) -> tuple[tuple[Remark, ...], tuple[Remark, ...]]:
    """Faults, slots that leave nothing of their tenon, and warnings, too coarse a scale for planing its stock."""
    planer = shop.station_for("plane")
    axis = planer.axis("thickness") if planer else None
    faults, warnings = [], []
    for one in _asked(job):
        stock = _tenons_of(one, shop)
        if stock is None:
            text = "fit, play or clearance leave nothing of the tenon; reduce them or cut deeper"
            faults.append(Remark(one.mark, text))
        elif axis and axis.step:
            fit = one.bit - stock.thickness
            off = nearest(stock.thickness + axis.zero, axis.step) - axis.zero - stock.thickness
            if abs(off) > fit // 2:
                text = f"the tenon is to be {format_length(stock.thickness, shop.show)} thick and the {axis.name} of"
                text = f"{text} the planer is {format_difference(abs(off), shop.show)} off at its nearest mark"
                warnings.append(Remark(one.mark, f"{text}; plane a trial strip and try it in a slot"))
    return tuple(dict.fromkeys(faults)), tuple(dict.fromkeys(warnings))


def _asked(job: Job) -> Iterator[TenonAsked]:
    """What wants loose tenons: joints, then cuts."""
    for joint in job.joints:
        count = job.part(joint.post).quantity * joint.repeat * joint.count * (1 if joint.apart is None else 2)
        yield TenonAsked(
            joint.mark,
            joint.bit,
            joint.slot_to - joint.slot_from,
            joint.depth_post + joint.depth_rail,
            count,
            job.part(joint.rail).material,
            joint.fit,
            joint.play,
            joint.clearance,
        )
    for cut in job.cuts:
        yield from cut.loose_tenons(job)


def _tenons_of(one: TenonAsked, shop: Shop) -> TenonStock | None:
    rules = shop.tenon
    fit, play, clearance = (
        rule if own is None else own
        for own, rule in ((one.fit, rules.fit), (one.play, rules.play), (one.clearance, rules.clearance))
    )
    thickness, width, length = one.bit - fit, one.slot - play, one.deep - 2 * clearance
    if min(thickness, width, length) <= 0:
        return None
    spares = max(-(-one.needed // rules.spare_one_in), rules.spares_at_least)
    strip = strip_for(one.needed + spares, length, shop)
    return TenonStock(one.mark, thickness, width, length, thickness // 2, one.needed, spares, strip)


def strip_for(count: int, length: Nm, shop: Shop) -> Nm:
    """The strip from which so many pieces of one length are crosscut: n × length + (n − 1) × kerf + trim, nm."""
    saw = shop.station_for("crosscut")
    kerf, trim = (saw.of(Blade).kerf, saw.of(Blade).trim) if saw else (0, 0)
    return count * length + (count - 1) * kerf + trim


def _alike(job: Job, shop: Shop) -> list[tuple[TenonAsked, list[TenonStock]]]:
    """Tenons of one size, bit and wood together, with the first that they are for."""
    groups: dict[tuple[object, ...], tuple[TenonAsked, list[TenonStock]]] = {}
    for one in _asked(job):
        stock = _tenons_of(one, shop)
        if stock:
            key = (stock.thickness, stock.width, stock.length, one.bit, one.material)
            groups.setdefault(key, (one, []))[1].append(stock)
    return list(groups.values())
