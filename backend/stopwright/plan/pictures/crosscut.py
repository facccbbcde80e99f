"""The saw from above: the flip stops along the crosscut fence, or the blade turned for a first mitre."""

from math import radians, tan

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.joints import RailEnds
from stopwright.model.shaping import MitrePoints
from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.plan.run_sheet import Angle, Move, Run
from stopwright.plan.stations.flip_stops_up import FlipStops


def draw_crosscut(canvas: Canvas, run: Run, job: Job, flips: FlipStops | None = None) -> None:
    """Fence above, stops at the left in their places, blade at the right, the piece between.

    Other stops that stand nearer the blade are drawn flipped away, those farther out as they stand.
    """
    stops = [stop for stop in run.stops if stop.sets == "length" and isinstance(stop.target, int)]
    lengths: list[Nm] = [stop.target for stop in stops if isinstance(stop.target, int)]
    angle = next((s.target.degrees for s in run.stops if isinstance(s.target, Angle)), None)
    lean = tan(radians(float(angle))) if angle else 0.0
    if not lengths:
        _first_mitre(canvas, lean)
        return
    blade, left = 296.0, 34.0
    flips = flips or FlipStops("", False)
    span = canvas.span(max([*lengths, *flips.left]))
    per_nm = (blade - left) / span
    spacer = run.spacer.thickness * run.spacer.count if run.spacer else 0
    near = min(lengths)
    widths = [job.part(pieces.mark).width for pieces in run.pieces if any(p.mark == pieces.mark for p in job.parts)]
    deep = min(max(max(widths, default=near // 8) * per_nm, 14), 40)
    face = blade - near * per_nm
    canvas.line("fence-line", 4, 22, WIDE - 4, 22)
    canvas.ticks(blade, left, 19)
    start = face + spacer * per_nm
    _cut_off(canvas, (start, blade), deep, (lean * _at_the_stop(run, job), lean))
    if spacer:
        canvas.box("spacer", face, 26, max(spacer * per_nm, 3), min(deep, 18))
    for stop in stops:
        if isinstance(stop.target, int):
            x = blade - stop.target * per_nm
            moving = "stop" if stop.move is Move.SET else "stop stands"
            canvas.flip_stop(x, 8, 1, moving if stop.target == near else f"{moving} away")
    for reading in flips.clear:
        canvas.flip_stop(blade - reading * per_nm, 8, 1, "stop stands away")
    for reading in flips.away:
        x = blade - reading * per_nm
        canvas.path("stop stands flipped", f"M{x:.1f} 22h-24v-8h16v-12h8z")
    canvas.line("blade", blade + 16 * lean, 6, blade - (20 + deep) * lean, 34 + deep)
    in_use = next(stop for stop in stops if stop.target == near)
    canvas.across(face, blade, 44 + deep, in_use.reads, in_use.axis)
    canvas.tall = 66 + deep
    canvas.label = "Seen from above: stop at the left, the piece between stop and blade, the cut-off free at the right"
    if flips.away:
        aside = (6, 61 + deep, "start") if face + blade > WIDE else (WIDE - 6, 61 + deep, "end")
        canvas.words("dashed: away", *aside)
        canvas.label += "; stops nearer the blade are flipped away"


def _at_the_stop(run: Run, job: Job) -> int:
    """How the end at the stop leans that was mitred before: 1 where the long points of both ends are on one edge, else
    −1; 0 where that end is square."""
    mitre = next((one for one in job.mitres if any(one.part == pieces.mark for pieces in run.pieces)), None)
    if mitre is None or mitre.ends is not RailEnds.BOTH:
        return 0
    return 1 if mitre.points is MitrePoints.TRAPEZIUM else -1


def _cut_off(canvas: Canvas, ends: tuple[float, float], deep: float, leans: tuple[float, float]) -> None:
    """The piece from the stop as far as the blade, and what falls off, each end as it leans."""
    (start, blade), (at_stop, lean) = ends, leans
    end, foot = blade - 4 * lean, blade - (4 + deep) * lean
    if lean:
        canvas.path("wood", f"M{start:.1f} 26H{end:.1f}L{foot:.1f} {26 + deep:.1f}H{start + deep * at_stop:.1f}z")
        grain = start + (end - start) * 0.2, start + (end - start) * 0.7
        canvas.line("grain", grain[0], 26 + deep * 0.4, grain[1], 26 + deep * 0.4)
    else:
        canvas.wood(start, 26, blade - start, deep)
    far = max(end, foot) + 52
    canvas.path("waste", f"M{end + 3:.1f} 26H{far:.1f}V{26 + deep:.1f}H{foot + 3:.1f}z")


def _first_mitre(canvas: Canvas, lean: float) -> None:
    """The blade turned, the piece's long edge at the fence, no stop; to the other hand it lies right of the blade."""
    blade, hand = 180.0, 1 if lean >= 0 else -1
    end = blade + 2 * lean
    canvas.line("fence-line", 4, 22, WIDE - 4, 22)
    far, foot = blade - hand * 140, end - 34 * lean
    canvas.path("wood", f"M{far} 26H{end:.1f}L{foot:.1f} 60H{far}z")
    canvas.line("grain", far + hand * 16, 38, far + hand * 90, 38)
    canvas.line("grain", far + hand * 16, 49, far + hand * 70, 49)
    canvas.path("waste", f"M{end + hand * 4:.1f} 26H{end + hand * 44:.1f}V60H{foot + hand * 4:.1f}z")
    canvas.line("blade", blade + 16 * lean, 10, blade - 50 * lean, 76)
    canvas.tall = 84
    side = "left" if hand > 0 else "right"
    turned = "turned " if lean else ""
    canvas.label = f"Seen from above: the piece along the fence at the {side} of the {turned}blade, no stop"
