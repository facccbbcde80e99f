"""The glue-up on paper: stage by stage what to lay out, what closes in which order, clamps, cauls, the open time."""

from collections.abc import Iterator, Sequence

from stopwright.lengths import Show, format_length
from stopwright.model.job import Job
from stopwright.model.joints import ENDS
from stopwright.model.stations import Glue
from stopwright.paper.afterwards import afterwards_told, units_told
from stopwright.paper.drawing import Item, Words
from stopwright.paper.marks import BOX, tick_box
from stopwright.paper.page_flow import Block, document_pdf, heading, text_area, text_block
from stopwright.paper.pdf import A4
from stopwright.paper.typeface import shortened, wrapped
from stopwright.paper.wording import hardware_text, minutes_text, runs_text
from stopwright.plan.assembling.assembly import assembly_stages
from stopwright.plan.assembling.hardware import hardware_needs
from stopwright.plan.assembling.places import named_in_unit
from stopwright.plan.assembling.stage import Stage
from stopwright.plan.operations.finish import FINISH_IT
from stopwright.plan.operations.operation import said_together
from stopwright.plan.said_lengths import read_out

MOST_BOXES = 12
"""Units that have a box of their own beside each line; more are ticked on a further copy."""


def glue_up_pdf(
    job: Job,
    show: Show = Show.MM,
    glues: Sequence[Glue] = (),
    page: tuple[float, float] = A4,
    finishes: bool = False,
) -> bytes:
    """The glue-up sheet of a job as a PDF: one box a unit beside every line; `page` is A4 or LETTER, mm.

    `glues` are those of the shop: the one that the job names is printed, all of them where it names none. `finishes`
    says that the shop finishes what it glues, so that this stands at the end.
    """
    width, _ = text_area(page)
    return document_pdf(list(_blocks(job, show, glues, width, finishes)), page, f"{job.name}: glue-up")


def _blocks(job: Job, show: Show, glues: Sequence[Glue], width: float, finishes: bool) -> Iterator[Block]:
    plan = assembly_stages(job)
    yield Block(12.0, (Words(0, 8, shortened(f"{job.name}: glue-up", width, 7, True), 7, True),))
    for words in _glue_words(job, glues):
        yield text_block(words, width)
    for remark in (*plan.faults, *plan.warnings):
        yield text_block(f"{remark.about}: {remark.text}", width, bold=True)
    if not plan.stages:
        yield text_block("There is no order of glue-up to print.", width)
    units = min(job.units, MOST_BOXES)
    if plan.stages and job.units > 1:
        yield text_block(f"One box for each unit, 1 to {units} from the left.", width)
    if job.hardware:
        yield heading("Laid out at the dry fit", width)
        for need in hardware_needs(job):
            yield _line(hardware_text(need, in_one_unit=True), units, width)
    for stage in plan.stages:
        which = f", {units_told(stage.units)}" if stage.units else ": "
        yield heading(f"Stage {stage.number}{which}{stage.title()}", width)
        yield text_block(_lay_out_words(stage, show), width)
        for words in _lines(job, stage, show):
            yield _line(words, units, width, stage)
    after = [*afterwards_told(job, plan, named_in_unit(job), show), *([FINISH_IT] if finishes else [])]
    if after:
        yield heading("When the glue has set", width)
    for words in after:
        yield _line(words, units, width)


def _glue_words(job: Job, glues: Sequence[Glue]) -> Iterator[str]:
    known = [glue for glue in glues if job.glue in ("", glue.name)]
    if not known:
        named = f"Glue: {job.glue}. " if job.glue else ""
        yield f"{named}Its open time is not known to the shop: read it on the bottle before you begin."
    if len(known) > 1:
        yield "The job names no glue. Take one of these, and cross out the others:"
    for glue in known:
        opened, clamped = minutes_text(glue.open_minutes), minutes_text(glue.clamp_minutes)
        yield f"Glue: {glue.name}. It stays open for {opened}: all clamps are on by then. Clamps stay on for {clamped}."


def _lay_out_words(stage: Stage, show: Show) -> str:
    clamps = read_out(stage.clamps_told(), show)
    cauls = "" if stage.all_round else " and the cauls"
    brings = f" What {runs_text(stage.brings, 'stage')} made comes together." if stage.brings else ""
    return f"Closes {stage.direction}. At hand: {clamps}{cauls}, {stage.blocks_told()}.{brings}"


def _lines(job: Job, stage: Stage, show: Show) -> Iterator[str]:
    named = named_in_unit(job)
    yield "all pieces laid out, tried dry, square"
    if stage.glue_told():
        yield stage.glue_told()
    for loose in stage.loose:
        holders = said_together(named(holder) for holder in loose.holders_in(stage.pieces))
        yield f"{named(loose.piece)} into the {loose.held_in} of {holders}, no glue"
    for closing in stage.closings:
        post, rail = named(closing.post), named(closing.rail)
        meets = f"{rail} to {post}, mitre" if closing.side in ENDS else f"{rail} into {post}"
        yield f"{closing.joint}: {meets}" if closing.joint else meets
    if stage.all_round:
        yield f"band clamp, at least {format_length(stage.opening, show)}, a block on every corner; or corner clamps"
    for number, rails in enumerate(stage.lines, start=1):
        over = " and ".join(named(rail) for rail in rails)
        yield f"clamp {number}, {format_length(stage.opening, show)}, in line with {over}"
    yield "square: both diagonals alike; squeezed-out glue off"


def _line(words: str, units: int, width: float, stage: Stage | None = None) -> Block:
    """Words behind the boxes of the units, but for those that have nothing of the stage."""
    boxes = tuple(tick_box(n * (BOX + 1.4), 1.2) for n in range(units) if stage is None or stage.is_of(n + 1))
    indent = units * (BOX + 1.4) + 2
    lines = wrapped(words, width - indent, 3.4)
    said = (Words(indent, 4.3 + 4.6 * n, one, 3.4) for n, one in enumerate(lines))
    items: tuple[Item, ...] = (*boxes, *said)
    return Block(1.6 + 4.6 * len(lines), items)
