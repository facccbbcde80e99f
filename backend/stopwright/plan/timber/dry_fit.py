"""What gets its size only after the dry fit: the blanks cut of sheet for it, and what they leave to be sawn."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from stopwright.lengths import MM, Nm, format_length
from stopwright.model.job import Job
from stopwright.model.parts import DryBlank, LooseTenon, MadePart, Part, drawn_size
from stopwright.model.stations import Shop
from stopwright.plan.run_sheet import Remark
from stopwright.plan.timber.layouts import cutting_in
from stopwright.plan.timber.sawn import Sawn

OVER: Nm = 10 * MM
"""How much longer and wider than drawn a blank of sheet is (common practice)."""


def cut_dry(job: Job) -> frozenset[str]:
    """The marks of the parts that get their size after the dry fit."""
    return frozenset(part.mark for part in job.parts if drawn_size(part))


def fitted_to(job: Job, mark: str) -> tuple[str, ...]:
    """The marks of what must be worked before a part gets its size: the rest of its thing, and the loose tenons."""
    part = job.part(mark)
    return tuple(
        other.mark
        for other in job.parts
        if isinstance(other, LooseTenon)
        or (
            isinstance(other, MadePart) and isinstance(part, MadePart) and other.thing == part.thing and not other.drawn
        )
    )


def is_from_blank(part: Part) -> bool:
    """Whether a part is sawn from a blank of sheet; what is glued is sawn from its panel anyway."""
    return drawn_size(part) is not None and not part.is_glued


def with_blanks(job: Job) -> Job:
    """The job with the blanks as parts, under marks that are free, beside the parts that are sawn from them."""
    taken = {part.mark for part in job.parts}
    blanks = []
    for part in job.parts:
        drawn = drawn_size(part)
        if drawn is None or part.is_glued:
            continue
        mark = next(one for n in range(len(taken) + 2) if (one := f"{part.mark}b{n or ''}") not in taken)
        taken.add(mark)
        length, width = (one + OVER for one in drawn)
        size = (length, width, part.thickness, part.material, part.kind, part.grain)
        name = f"Blank of {part.name}"[:200]
        blanks.append(DryBlank(mark, name, part.quantity, *size, note=f"for {part.mark}", blank_for=part.mark))
    return replace(job, parts=(*job.parts, *blanks)) if blanks else job


def sawn_from_blanks(job: Job) -> list[Sawn]:
    """The parts that are sawn from blanks, as they are sawn to size."""
    return [Sawn(one, one.width, one.length, one.quantity) for one in job.parts if is_from_blank(one)]


def larger_than_left(parts: Iterable[Part], shop: Shop) -> Iterator[Remark]:
    """A fault for every part that is to be larger, when its frame is dry together, than what was left for it."""
    cutting = cutting_in(shop)
    for part in parts:
        drawn = drawn_size(part)
        if drawn is None:
            continue
        for called, wanted, was, kerf in (
            ("long", part.length, drawn[0], cutting.kerf_along),
            ("wide", part.width, drawn[1], cutting.kerf_across),
        ):
            if wanted > was + OVER - kerf:
                now, left = (format_length(one, shop.show) for one in (wanted, was + OVER - kerf))
                text = f"{now} {called} is more than is left for it, which gives {left}"
                yield Remark(
                    part.mark, f"{text}; measure the frame again, or let no panel wait for the dry fit and cut it anew"
                )
