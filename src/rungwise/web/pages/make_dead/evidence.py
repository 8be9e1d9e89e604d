"""What the readings along a plan of making dead have shown, and what was not measured."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import Field

from rungwise.web.pages.make_dead.reading import MEASURED
from rungwise.web.pages.make_dead.steps import StepLine
from rungwise.web.shown import Shown
from rungwise.wording import joined, mark, say, shaped


class DeadProof(Shown):
    """What was measured and what was not. It never says that anything is dead."""

    asked: int = Field(description="readings that the plan asks for, proofs of the meter left out")
    taken: list[str] = Field(description="OK, with the meter proved before and after")
    not_so: list[str] = Field(description="readings that are not as they must be")
    open: list[str] = Field(description="not measured, or not with a meter proved before and after")
    undone: list[str] = Field(description="what was not ticked as done")
    last: str

    @property
    def begun(self) -> bool:
        """Whether anything was measured."""
        return bool(self.taken or self.not_so)

    @property
    def missing(self) -> list[str]:
        """What a record of it cannot vouch for."""
        return [*self.open, *(say("{each}, not as it must be", each=each) for each in self.not_so)]


def proof_of(lines: Sequence[StepLine]) -> DeadProof:
    """What the steps of a plan have shown."""
    asked = [each for each in lines if each.kind in MEASURED]
    taken = [each for each in asked if each.state == "done" and not each.proved]
    not_so = [each for each in asked if each.state == "not so"]
    rest = [each for each in asked if each not in taken and each not in not_so]
    undone = [each for each in lines if not each.reads and each.state != "done"]
    return DeadProof(
        asked=len(asked),
        taken=[joined(": ", (what_of(each), each.reading)) for each in taken],
        not_so=[joined(": ", (what_of(each), each.reading)) for each in not_so],
        open=[joined("", (what_of(each), _why(each))) for each in rest],
        undone=[each.text for each in undone],
        last=max((each.at for each in taken), default=""),
    )


def what_of(line: StepLine) -> str:
    """Where the leads are."""
    kind = mark(" before discharge") if line.kind == "charge" else ""
    told = shaped(joined(" ", line.what) if line.what else line.text, _no_stop)
    highest = joined("", (", ", line.asks)) if line.asks and not line.at_once else ""
    return joined("", (line.reads, kind, ". ", told, highest))


def _no_stop(text: str) -> str:
    return text.rstrip(".")


def _within(text: str) -> str:
    return text.rstrip(".").lower()


def _why(line: StepLine) -> str:
    if line.wrong:
        return say(": {typed} cannot be read", typed=line.typed)
    if line.state == "left out":
        return joined("", (": ", line.typed))
    return joined("", (": ", shaped(line.proved, _within))) if line.proved else ""
