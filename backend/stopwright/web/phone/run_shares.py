"""Whose a run and each of its lines is, where several jobs are worked together: said to people, and told by taps."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from stopwright.store.together_fold import Share


@dataclass(frozen=True, slots=True)
class RunShares:
    """The shares of a run, none where it is a run of one job; `names` are the jobs' names by their number."""

    shares: Sequence[Share] = ()
    names: Mapping[str, str] | None = None

    def whose(self, line: str) -> str:
        """The name of the job that a line of the run belongs to, by what it is called; "" where there is but one."""
        found = self._of(line)
        return self.names[found[0].job] if found and self.names else ""

    def facts(self) -> dict[str, Any]:
        """What a tap on the run tells of: each job, and what the run is called there."""
        if not self.shares:
            return {}
        return {"shares": [{"job": share.job, "run": share.run} for share in self.shares]}

    def facts_of(self, line: str) -> dict[str, Any]:
        """What a tap on a line tells of: its job, the run and the line as that job has them."""
        found = self._of(line)
        if not found:
            return {}
        share, own = found
        return {"share": {"job": share.job, "run": share.run, "mark": own}}

    def told(self, line: str | None) -> dict[str, Any]:
        """Whose a tap is, as it says beside its body; one on pieces, boards or strips by what their line is called."""
        if line is None or not self.shares:
            return self.facts()
        return {"shares": list(self.facts_of(line).values())}

    def _of(self, line: str) -> tuple[Share, str] | None:
        return next(((share, own) for share in self.shares for own, name in share.names.items() if name == line), None)
