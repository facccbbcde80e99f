"""How pieces stand in a unit: corners in nm and signed directions along three axes."""

from dataclasses import dataclass
from typing import TypeAlias

from stopwright.lengths import Nm

Vector: TypeAlias = tuple[int, int, int]
Corner: TypeAlias = tuple[Nm, Nm, Nm]


@dataclass(frozen=True, slots=True)
class Pose:
    """How a piece stands: the corner from which its axes start (nm), and where its x, y and z point."""

    corner: Corner
    x: Vector
    y: Vector
    z: Vector

    @property
    def mirrored(self) -> bool:
        """True when the axes are left-handed: the piece is the mirror image."""
        return dot(cross(self.x, self.y), self.z) < 0


def spans_of(pose: Pose, size: tuple[Nm, Nm, Nm]) -> tuple[tuple[Nm, Nm], tuple[Nm, Nm], tuple[Nm, Nm]]:
    """From where to where a piece of this size reaches along each axis, nm."""
    spans = []
    for axis in range(3):
        ways = [vector[axis] * far for vector, far in zip((pose.x, pose.y, pose.z), size, strict=True)]
        start = pose.corner[axis]
        spans.append((start + sum(way for way in ways if way < 0), start + sum(way for way in ways if way > 0)))
    return (spans[0], spans[1], spans[2])


def turned(vector: Vector, pose: Pose) -> Vector:
    """A direction of a piece's own axes, in the unit."""
    return moved((0, 0, 0), (pose.x, vector[0]), (pose.y, vector[1]), (pose.z, vector[2]))


def moved(corner: Corner, *ways: tuple[Vector, Nm]) -> Corner:
    """The corner after going so far (nm) along each of these directions."""
    x, y, z = corner
    for vector, far in ways:
        x, y, z = x + vector[0] * far, y + vector[1] * far, z + vector[2] * far
    return (x, y, z)


def between(start: Corner, end: Corner) -> Corner:
    """The way from one corner to another, nm."""
    return (end[0] - start[0], end[1] - start[1], end[2] - start[2])


def opposite(vector: Vector) -> Vector:
    """The direction turned round."""
    return (-vector[0], -vector[1], -vector[2])


def cross(a: Vector, b: Vector) -> Vector:
    """The direction at right angles to both, by the right hand."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def dot(a: Vector, b: Vector) -> int:
    """How far one goes along the other."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
