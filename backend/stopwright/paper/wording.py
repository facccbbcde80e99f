"""How the things of a run sheet are said on paper: positions, pieces, proofs, sizes."""

from collections.abc import Iterable, Sequence

from stopwright.lengths import INCH, MM, Nm, Show, format_difference, format_length
from stopwright.model.counts import counted, neighbours
from stopwright.plan.run_sheet import (
    Changeover,
    Form,
    HardwareNeed,
    Line,
    MachineChanges,
    MovingPanel,
    Pieces,
    Rest,
    Run,
    RunSheet,
    Settings,
    Spacer,
    SpacerBlock,
    Stop,
)
from stopwright.plan.run_sheet_json import position_text
from stopwright.plan.stations.making_ready import CAUTIONS


def reading_text(stop: Stop, show: Show, with_unit: bool = True) -> str:
    """What to set a stop to: its reading, or the mark on the master piece where the axis has no scale."""
    return stop.to_mark or position_text(stop.reading, show, with_unit)


def off_by_text(stop: Stop, show: Show) -> str:
    """How far the nearest graduation is off, and what is allowed; empty when it is not off at all.

    >>> from stopwright.plan.run_sheet import Move
    >>> stop = Stop("rip fence", "width", 84_200_000, 84_000_000, Move.SET, -200_000, 300_000)
    >>> off_by_text(stop, Show.MM)
    '−0.2 mm off, ±0.3 mm allowed'
    """
    off = format_difference(stop.residual, show)
    if off == "0" or stop.to_mark:
        return ""
    allowed = f", ±{format_difference(stop.tolerance, show)} allowed" if stop.tolerance is not None else ""
    sign = "+" if stop.residual > 0 else ""
    return f"{sign}{off} off{allowed}"


def size_text(size: Sequence[Nm], show: Show) -> str:
    """Lengths joined as a size, the unit once.

    >>> size_text((450_000_000, 38_000_000, 38_000_000), Show.MM)
    '450 × 38 × 38 mm'
    """
    return " × ".join(format_length(length, show, with_unit=False) for length in size) + f" {show.unit}"


def offcut_text(size: Sequence[Nm], show: Show) -> str:
    """The size of an offcut, rounded down to what one measures wood by: whole mm, or sixteenths of an inch.

    >>> offcut_text((906_800_000, 60_000_000), Show.MM), offcut_text((906_800_000, 60_000_000), Show.THOUSANDTHS)
    ('906 × 60 mm', '35 11/16 × 2 5/16 in')
    """
    mark, show = (MM, show) if show is Show.MM else (INCH // 16, Show.SIXTEENTHS)
    return size_text([length - length % mark for length in size], show)


def rest_text(rest: Rest, show: Show) -> str:
    """The size of what is left of a board, and of its clean part where there is a flaw in it.

    >>> from stopwright.model.stock import Zone
    >>> rest_text(Rest("", 0, 0, 1200 * MM, 90 * MM, zones=(Zone(800 * MM, 850 * MM),)), Show.MM)
    '1200 × 90 mm, 800 × 90 mm without a flaw'
    """
    size = offcut_text((rest.length, rest.width), show)
    return f"{size}, {offcut_text(rest.clean, show)} without a flaw" if rest.zones else size


def change_text(change: Changeover) -> str:
    """A machine made ready for another of its stations.

    >>> change_text(Changeover("combination", "spindle", "saw", 6))
    'Make the combination ready: from spindle to saw, 6 min'
    """
    return f"Make the {change.machine} ready: from {change.from_} to {change.to}, {minutes_text(change.minutes)}"


def change_steps(change: Changeover) -> list[tuple[str, str]]:
    """What to do to make a machine ready, and what stops do not stand afterwards.

    >>> change_steps(Changeover("combination", "spindle", "saw", 6, ("cutter",), ("cutter", "fence"), (), ("ring",)))
    [('take off', 'cutter; fence'), ('put on', 'ring'), ('does not stand afterwards', 'cutter')]
    """
    steps = {
        "take off": change.take_off,
        "cover or lower": change.cover,
        "put on": change.put_on,
        "does not stand afterwards": change.lost,
    }
    return [(head, "; ".join(words)) for head, words in steps.items() if words]


def change_leaves(change: Changeover, show: Show) -> list[tuple[str, str]]:
    """What stands after a changeover, for the runs that find it so, and what they set again."""
    stands = (f"{stop.axis} {reading_text(stop, show)} for run {number}" for stop, number in change.stands)
    steps = {"leave as it stands": list(stands), "set again later": change.again}
    return [(head, "; ".join(words)) for head, words in steps.items() if words]


def machine_text(machine: MachineChanges) -> str:
    """How often a machine is changed over, and what is known of that.

    >>> machine_text(MachineChanges("combination", ((4, Changeover("combination", "saw", "spindle", 5)),), 5, 5, True))
    'combination: 1 changeover, 5 min; no order of these visits takes less'
    """
    made = f"{machine.machine}: {counted(len(machine.changes), 'changeover')}"
    if not machine.changes:
        return made
    if machine.proven:
        least = "no order of these visits takes less"
    else:
        least = f"at least {minutes_text(machine.least)} for these visits"
        if machine.is_best:
            least += "; none takes less when what must come before what and what is set again count too"
    return f"{made}, {minutes_text(machine.minutes)}; {least}"


def piece_count(count: int) -> str:
    """A number of pieces in words: 1 piece, 12 pieces."""
    return counted(count, "piece")


def wood_count(count: int) -> str:
    """A number of boards and sheets in words.

    >>> wood_count(1), wood_count(3)
    ('1 board or sheet', '3 boards and sheets')
    """
    return "1 board or sheet" if count == 1 else f"{count} boards and sheets"


def needed_text(least: int) -> str:
    """How many it takes at the least, where it is not known that fewer will not do.

    >>> needed_text(1), needed_text(3)
    ('at least 1 is needed', 'at least 3 are needed')
    """
    return f"at least {least} {'is' if least == 1 else 'are'} needed"


def line_text(line: Line) -> str:
    """What is counted on a line: `strips from boards 2–4`, `sections of board 3`, `board 1`."""
    what = "strip" if line.form is Form.STRIP else "section" if line.is_section else ""
    if not what:
        return line.lot
    return f"{what}{'' if line.count == 1 else 's'} {'from' if line.is_new else 'of'} {line.lot}"


def becomes_text(becomes: Iterable[tuple[str, int]]) -> str:
    """What a lot becomes.

    >>> becomes_text([("A", 20), ("B", 4)])
    'for 20 A, 4 B'
    """
    return "for " + ", ".join(f"{count} {mark}" for mark, count in becomes)


def lying_text(pieces: Pieces) -> str:
    """How pieces lie where they are cut into, one way after the other; empty where that does not matter."""
    said = "; then ".join(filter(None, (_lying_once(one) for one in pieces.each)))
    mirrored = "mirrored" if pieces.mirrored else ""
    return ", ".join(filter(None, (said, mirrored)))


def _lying_once(pieces: Pieces) -> str:
    said = []
    if pieces.slotted:
        said.append(f"slot in the {pieces.slotted}")
    if pieces.down:
        said.append(f"{pieces.down} side down" if pieces.down in ("face", "back") else f"{pieces.down} down")
    if pieces.reference and pieces.at:
        at_stop = pieces.at in ("left", "right")
        said.append(f"{pieces.reference} at the {pieces.at}{' stop' if at_stop else ''}")
    return ", ".join(said)


def spacer_text(spacer: Spacer, show: Show) -> str:
    """A block and where it goes: `2 blocks of 3 mm under the rail`."""
    number = f"{spacer.count} blocks of " if spacer.count > 1 else "a block of "
    return f"{number}{format_length(spacer.thickness, show)} {spacer.place}".strip()


def block_text(block: SpacerBlock, show: Show) -> str:
    """Blocks to make beforehand: `1 of 3 mm, under the piece`."""
    return f"{block.count} of {format_length(block.thickness, show)}, {block.use}"


def proof_text(settings: Settings) -> str:
    """What is known about the number of settings, in one sentence.

    >>> proof_text(Settings(17, 17, True, 14.5))
    '17 settings; fewer is not possible (proven)'
    >>> proof_text(Settings(19, 17, False, 14.5))
    '19 settings; not proven to be the fewest, at least 17 are needed'
    """
    made = counted(settings.made, "setting")
    if settings.proven and settings.made == settings.least_possible:
        return f"{made}; fewer is not possible (proven)"
    if settings.proven:
        return f"{made}; {settings.least_possible} would be possible, the times of the stations weigh against it"
    return f"{made}; not proven to be the fewest, {needed_text(settings.least_possible)}"


def panel_text(panel: MovingPanel, show: Show) -> str:
    """How wide a panel may be in its grooves, and what its wood does there.

    >>> from stopwright.lengths import MM
    >>> from stopwright.model.moisture import Moisture
    >>> from fractions import Fraction
    >>> moisture = Moisture(Fraction(8), Fraction(6), Fraction(13))
    >>> from stopwright.plan.timber.panel_room import PanelRoom
    >>> panel_text(MovingPanel("D", "G1", PanelRoom(310 * MM, 300 * MM, 20 * MM, Fraction(0), moisture)), Show.MM)
    'D in G1: 310 mm wide, 306 mm to 319 mm would do; it does not move, 5 mm in each groove, 10 mm left'
    """
    room = panel.room
    wide, least, most = (format_length(one, show) for one in (room.width, room.least, room.most))
    held = f"{format_length(room.held, show)} in each groove" if room.held > 0 else "it falls out"
    left = f"{format_length(abs(room.left), show)} {'left' if room.left >= 0 else 'too wide for them'}"
    start = f"{panel.mark} in {panel.cut}: {wide} wide, "
    if room.widest_opening is None:
        return f"{start}{least} to {most} would do; it does not move, {held}, {left}"
    driest, wettest = (f"{float(one):g} %" for one in (room.moisture.driest, room.moisture.wettest))
    may = f"{least} to {most} would do" if room.least <= room.most else "no width would do"
    opening = format_length(room.widest_opening, show)
    text = f"{start}{may}; at {driest} {held}, at {wettest} {left}"
    return f"{text}; the widest opening for these grooves is {opening}"


def hardware_text(need: HardwareNeed, in_one_unit: bool = False) -> str:
    """What is needed besides wood, in all or in one unit.

    >>> hardware_text(HardwareNeed("Knob", 2, 12, "brass, 30 mm")), hardware_text(HardwareNeed("Hinge", 2, 2), True)
    ('12 × Knob (2 a unit): brass, 30 mm', '2 × Hinge')
    """
    several = need.count != need.per_unit and not in_one_unit
    text = f"{need.per_unit if in_one_unit else need.count} × {need.name}"
    return f"{text}{f' ({need.per_unit} a unit)' if several else ''}{f': {need.note}' if need.note else ''}"


def minutes_text(minutes: float) -> str:
    """A time for people, to the half minute.

    >>> minutes_text(14.5), minutes_text(160), minutes_text(60), minutes_text(0.2)
    ('14 ½ min', '2 h 40 min', '1 h', '½ min')
    """
    halves = max(round(minutes * 2), 1) if minutes > 0 else 0
    hours, rest = divmod(halves, 120)
    if hours:
        return f"{hours} h {rest // 2} min" if rest // 2 else f"{hours} h"
    whole, half = divmod(rest, 2)
    return f"{' '.join(filter(None, (str(whole) if whole or not half else '', '½' if half else '')))} min"


def changeover_cautions(sheet: RunSheet) -> list[str]:
    """What to take care of when a machine is changed over, where one is."""
    return [caution.text for caution in CAUTIONS] if any(run.change for run in sheet.runs) else []


def cautions_by_run(runs: Sequence[Run]) -> list[tuple[str, str]]:
    """Every caution of the sheet once, with the runs it belongs to: `("runs 3–7, 9", "Stop the blade …")`."""
    numbers: dict[str, list[int]] = {}
    for run in runs:
        for caution in run.cautions:
            numbers.setdefault(caution, []).append(run.number)
    return [(runs_text(belongs), caution) for caution, belongs in numbers.items()]


def runs_text(numbers: Sequence[int], what: str = "run") -> str:
    """Numbers of runs, or of something else, with neighbours drawn together.

    >>> runs_text([3, 4, 5, 9]), runs_text([2]), runs_text([7, 8], "")
    ('runs 3–5, 9', 'run 2', '7–8')
    """
    written = ", ".join(f"{s[0]}–{s[-1]}" if len(s) > 1 else str(s[0]) for s in neighbours(numbers))
    return f"{what}{'s' if len(numbers) > 1 else ''} {written}" if what else written
