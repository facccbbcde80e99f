"""Where every piece of a unit stands, worked out from what meets: which post each rail end goes into, and how far off.

A meeting fixes how its rail lies to its post: the rail runs along the outward normal of a side, its width along the
post, its face side the setback behind the post's reference side; or turned. From one post all others follow.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from operator import itemgetter

from stopwright.lengths import GREATEST, Nm
from stopwright.model.job import Job
from stopwright.model.joints import EDGES, RailEnds, Side
from stopwright.model.meetings import Meeting, met_by
from stopwright.plan.assembling.joint_poses import Nth, Site, miss_of, post_pose, rail_pose, sites_in
from stopwright.plan.assembling.meetings import meetings_of
from stopwright.plan.assembling.places import places_in_unit
from stopwright.plan.assembling.poses import Pose, between, dot
from stopwright.plan.joinery.hands import count_hands

MOST_STEPS = 4000
MOST_PLACES = 400
"""Rail ends in one unit up to which its shape is looked for."""
SLACK = 10
"""A rail may miss its place by a tenth of its length and still be known to belong there; it is told of."""


@dataclass(frozen=True, slots=True)
class Joining:
    """One rail end in one `side` of a post, or at its end where both are mitred.

    `joint` is the mark of the joint or cut that holds it there, "" where glue alone does.
    """

    joint: str
    post: Nth
    rail: Nth
    end: Side
    side: Side


@dataclass(frozen=True, slots=True)
class Closing(Joining):
    """A rail end in a post, and where the rail lies as seen from there: along which axis, 0 to 2, and ±1."""

    along: tuple[int, int]


@dataclass(frozen=True, slots=True)
class UnitLayout:
    """All joined pieces of a unit in space. `told` False: the joints do not say how they go together.

    `misses` tells by joint or cut how far a rail end is from its place, nm; `meetings` are those that were laid out.
    """

    poses: Mapping[Nth, Pose]
    closings: tuple[Closing, ...]
    told: bool = True
    misses: Mapping[str, Nm] = field(default_factory=dict)
    meetings: tuple[Meeting, ...] = ()


@dataclass(frozen=True, slots=True)
class _State:
    poses: dict[Nth, Pose]
    closings: tuple[Closing, ...]
    sites: tuple[Site, ...]
    ends: tuple[tuple[Nth, Side], ...]
    missed: dict[str, Nm]


def lay_out_unit(job: Job) -> UnitLayout:
    """How the pieces of one unit stand to one another; pieces that nothing places are left out.

    What does not hang together stands far apart. Where not all that meets can be laid out, the joints alone may be.
    Places are filled one by one, a rail between posts that already stand before one to a new post, and taken back
    where they lead nowhere. Ties: joints in the job's order, edges before face and back.
    """
    meetings = meetings_of(job)
    found = _Search(job, meetings).solve()
    if found is None and job.joints and len(meetings) > len(job.joints):
        meetings = tuple(map(met_by, job.joints))
        found = _Search(job, meetings).solve()
    if found is None:
        return UnitLayout({}, (), told=False)
    names = _names_by_place(job, found.closings)
    closings = tuple(
        replace(one, post=names.get(one.post, one.post), rail=names.get(one.rail, one.rail)) for one in found.closings
    )
    poses = {names.get(piece, piece): pose for piece, pose in found.poses.items()}
    missed = {mark: miss for mark, miss in found.missed.items() if miss}
    return UnitLayout(poses, closings, True, missed, meetings)


class _Search:
    def __init__(self, job: Job, meetings: tuple[Meeting, ...]) -> None:
        self.job = job
        self.meetings = meetings
        self.parts = {part.mark: part for part in job.parts}
        self.per_unit = {part.mark: part.quantity // job.units for part in job.parts}
        self.handed = {part.mark: count_hands(job, part)[1] > 0 for part in job.parts}
        self.order = {meeting: place for place, meeting in enumerate(meetings)}
        self.steps = 0
        self.wanted: Counter[tuple[str, str]] = Counter()
        for one in meetings:
            self.wanted[one.lot] += self.per_unit[one.post] * one.repeat
        self.places = self.wanted.total()

    def solve(self) -> _State | None:
        """Every place filled, component by component; None where that cannot be, or would take too long."""
        if self.places > MOST_PLACES:
            return None
        stack = [self._steps_from(_State({}, (), (), (), {}))]
        while stack:
            state = next(stack[-1], None)
            self.steps += 1
            if self.steps > MOST_STEPS:
                return None
            if state is None:
                stack.pop()
            elif self._complete(state):
                return state
            else:
                stack.append(self._steps_from(state))
        return None

    def _complete(self, state: _State) -> bool:
        return not state.sites and not state.ends and self._next_post(state) is None

    def _steps_from(self, state: _State) -> Iterator[_State]:
        """All ways to settle what is open first: the free end of a rail, else a place in a post, else a new start."""
        if state.ends:
            yield from self._settle_end(state, *state.ends[-1])
        elif state.sites:
            yield from self._fill(state, min(state.sites, key=self._urgency))
        else:
            post = self._next_post(state)
            if post is not None:
                off = len(state.poses) * GREATEST  # apart in space: no piece is longer
                start = Pose((off, off, off), (0, 0, -1), (-1, 0, 0), (0, 1, 0))
                turned = replace(start, y=(1, 0, 0))
                yield self._stand_post(state, post, turned if self._hand(post) == "left" else start)

    def _urgency(self, site: Site) -> tuple[int, int, int]:
        across = site.meeting.side in EDGES
        return (not across, self.order[site.meeting], site.repeat)

    def _next_post(self, state: _State) -> Nth | None:
        posts = [mark for mark in self.parts if any(one.post == mark for one in self.meetings)]
        rails = {one.rail for one in self.meetings}
        for mark in sorted(posts, key=lambda mark: mark in rails):
            for nth in range(self.per_unit[mark]):
                if (mark, nth) not in state.poses:
                    return (mark, nth)
        return None

    def _hand(self, piece: Nth) -> str:
        return ("right", "left")[piece[1] % 2] if self.handed[piece[0]] else ""

    def _unposed(self, state: _State, mark: str, mirrored: bool) -> Nth | None:
        for nth in range(self.per_unit[mark]):
            fits = self._hand((mark, nth)) in ("", "left" if mirrored else "right")
            if (mark, nth) not in state.poses and fits:
                return (mark, nth)
        return None

    def _stand(self, state: _State, piece: Nth, pose: Pose) -> _State:
        sites = tuple(sites_in(self.job, self.meetings, piece, pose))
        return replace(state, poses=state.poses | {piece: pose}, sites=state.sites + sites)

    def _stand_post(self, state: _State, piece: Nth, pose: Pose) -> _State:
        """A post that is a rail as well has two free ends of its own."""
        stood = self._stand(state, piece, pose)
        if all(one.rail != piece[0] for one in self.meetings):
            return stood
        return replace(stood, ends=(*stood.ends, (piece, Side.MARKED_END), (piece, Side.OTHER_END)))

    def _fill(self, state: _State, site: Site) -> Iterator[_State]:
        """The next rail of the hand that a place asks for; none where the places are more than the rails."""
        mark = site.meeting.rail
        if all((mark, nth) in state.poses for nth in range(self.per_unit[mark])):
            if self.wanted[site.meeting.lot] > self._ends(site.meeting):
                yield replace(state, sites=tuple(one for one in state.sites if one is not site))
            return
        ends = site.meeting.rail_ends
        if not self.handed[mark] and all(one.post != mark for one in self.meetings):
            ends = ends[:1]  # which end it is matters only to its hand, and to what is joined into the rail
        for end in ends:
            pose = rail_pose(site, end, self.parts[mark].length)
            piece = self._unposed(state, mark, pose.mirrored)
            if piece is not None:
                closed = _close(self._stand(state, piece, pose), site, piece, end)
                other = Side.OTHER_END if end is Side.MARKED_END else Side.MARKED_END
                yield replace(closed, ends=(*closed.ends, (piece, other)))

    def _settle_end(self, state: _State, rail: Nth, end: Side) -> Iterator[_State]:
        """A place for the free end of a rail: in a post that stands, else in a new one, else none where too few are."""
        state = replace(state, ends=state.ends[:-1])
        length, pose = self.parts[rail[0]].length, state.poses[rail]
        meetings = [one for one in self.meetings if one.rail == rail[0] and end in one.rail_ends]
        here = [(miss_of(site, pose, end, length), site) for site in state.sites if site.meeting in meetings]
        near = [(miss, site) for miss, site in here if miss is not None and miss <= length // SLACK]
        if near:
            miss, site = min(near, key=itemgetter(0))
            missed = state.missed | {site.meeting.mark: max(miss, state.missed.get(site.meeting.mark, 0))}
            yield _close(replace(state, missed=missed), site, rail, end)
            return
        for meeting, repeat in _best_first(meetings, state, rail):
            stands = post_pose(self.job, meeting, repeat, pose, end)
            post = self._unposed(state, meeting.post, stands.mirrored)
            if post is not None:
                stood = self._stand_post(state, post, stands)
                new = next(one for one in stood.sites if (one.post, one.meeting, one.repeat) == (post, meeting, repeat))
                yield _close(stood, new, rail, end)
        if not meetings or self.wanted[meetings[0].lot] < self._ends(meetings[0]):
            yield state

    def _ends(self, meeting: Meeting) -> int:
        one_each = meeting.ends in (RailEnds.MARKED, RailEnds.OTHER)
        return self.per_unit[meeting.rail] * (1 if one_each else 2)


def _best_first(meetings: Sequence[Meeting], state: _State, rail: Nth) -> list[tuple[Meeting, int]]:
    """Where the other end of a rail may go: as its first end before others, its own height before others."""
    came_by = next((one for one in state.closings if one.rail == rail), None)
    first, level = "", 0
    if came_by is not None:
        post = state.poses[came_by.post]
        first, level = came_by.joint, dot(between(post.corner, state.poses[rail].corner), post.x)
    options = [(meeting, repeat) for meeting in meetings for repeat in range(meeting.repeat)]
    return sorted(options, key=lambda one: (one[0].mark != first, abs(one[0].height(one[1]) - level)))


def _close(state: _State, site: Site, rail: Nth, end: Side) -> _State:
    axis = next(axis for axis in range(3) if site.out[axis])
    closing = Closing(site.meeting.mark, site.post, rail, end, site.meeting.side, (axis, site.out[axis]))
    sites = tuple(one for one in state.sites if one is not site)
    return replace(state, closings=(*state.closings, closing), sites=sites)


def _names_by_place(job: Job, closings: tuple[Closing, ...]) -> dict[Nth, Nth]:
    """Rails renamed so that the one called "left" runs between left posts; empty where that does not come out even."""
    places = places_in_unit(job)
    words: dict[Nth, list[set[str]]] = {}
    for one in closings:
        words.setdefault(one.rail, []).append(set(places.get(one.post, "").split()))
    names: dict[Nth, Nth] = {}
    for rail, around in words.items():
        shared = set.intersection(*around)
        wanted = next((nth for nth, place in places.items() if nth[0] == rail[0] and place in shared), None)
        if wanted is not None:
            names[rail] = wanted
    return names if set(names.values()) == set(names) else {}
