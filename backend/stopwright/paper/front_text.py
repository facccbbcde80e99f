"""The plans to choose from as plain text, one line each."""

from collections.abc import Sequence

from stopwright.model.job import Flow
from stopwright.paper.wording import minutes_text
from stopwright.plan.choices import Choices
from stopwright.plan.weighing.alternatives import Alternative

TURNED = {None: "", False: "no piece turned on its sheet", True: "pieces turned on their sheets"}


def front_text(found: Sequence[Alternative]) -> str:
    """A line a plan, numbered from 1: boards, settings, handlings, carries, strips, the whole time, how it is made."""
    lines = ["plan  boards  settings  handlings  carries  strips  in all      how"]
    for number, one in enumerate(found, start=1):
        proof = "" if one.settings.proven else f" (at least {one.settings.least_possible})"
        flow = one.choices.flow or Flow.STATION_BY_STATION
        lines.append(
            f"{number:4}  {one.boards:6}  {one.settings.made:8}  {one.handlings:9}  {one.carries:7}  {one.strips:6}  "
            f"{minutes_text(one.minutes):10}  {flow}, {wood_words(one.choices)}{proof}"
        )
    return "\n".join(lines) + "\n"


def wood_words(choices: Choices) -> str:
    """How the wood is laid out and worked, where that is not the usual, in words.

    >>> wood_words(Choices(may_turn=False, mix_widths=False))
    'no piece turned on its sheet, one width from each board'
    """
    words = (
        TURNED[choices.may_turn],
        "" if choices.mix_widths else "one width from each board",
        "" if choices.strips else "without strips and blocks",
    )
    return ", ".join(filter(None, words)) or "usual layout"
