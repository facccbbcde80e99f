"""How long a plan may be searched for: a callable that is asked often and answers True when it is time to stop."""

from collections.abc import Callable
from typing import TypeAlias

Effort: TypeAlias = Callable[[], bool]


class Steps:
    """An effort counted in steps, so that the same input gives the same plan on every machine.

    >>> enough = Steps(2)
    >>> enough(), enough(), enough()
    (False, False, True)
    """

    def __init__(self, count: int) -> None:
        self.left = count

    def __call__(self) -> bool:
        """True when the steps are used up; each question uses one."""
        self.left -= 1
        return self.left < 0


class EitherEffort:
    """True as soon as one of two efforts has had enough."""

    def __init__(self, first: Effort, second: Effort) -> None:
        self.first = first
        self.second = second

    def __call__(self) -> bool:
        """True when either says so."""
        return self.first() or self.second()
