"""The plan of work that makes one zone of a unit dead and proves it."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from rungwise.circuit.plan import Key, Plan
from rungwise.isolation.cautions import Caution, cautions
from rungwise.isolation.devices import IsolatingDevice
from rungwise.isolation.findings import Findings, find
from rungwise.isolation.proving_check import ProvingCheck
from rungwise.isolation.steps import Step, work_steps
from rungwise.isolation.variants import checked_edits
from rungwise.isolation.wording import place_words
from rungwise.isolation.work_zone import zone_title
from rungwise.suspects.misplaced import with_alternates
from rungwise.unit.element import FloatArray
from rungwise.unit.unit import Unit


@dataclass(frozen=True)
class IsolationPlan:
    """How to make a zone dead: the solved facts, the cautions, and the steps in order.

    It never says that a zone is dead; only the readings taken along its steps can.
    """

    found: Findings
    cautions: tuple[Caution, ...]
    steps: tuple[Step, ...]

    @property
    def title(self) -> str:
        """What the plan is for."""
        return f"Making the {zone_title(self.found.zone)} dead: {self.found.unit.title}"

    @property
    def order(self) -> tuple[IsolatingDevice, ...]:
        """The devices in the order in which they are opened."""
        return self.found.proof.order

    @property
    def checks(self) -> tuple[ProvingCheck, ...]:
        """The minimum proving set."""
        return self.found.proof.checks

    def to_json(self) -> dict[str, Any]:
        """The whole plan as dicts, lists, strings and numbers only."""
        found = {k: v for k, v in vars(self.found).items() if k not in ("unit", "known_fault")}
        return {
            "title": self.title,
            "unit": self.found.unit.name,
            "known_fault": {".".join(k): v for k, v in self.found.known_fault.items()},
            **{key: _plain(value) for key, value in found.items()},
            "cautions": _plain(self.cautions),
            "steps": _plain(self.steps),
        }

    def lines(self, width: int = 60) -> list[str]:
        """The plan as text, no line longer than ``width`` columns."""
        lines = [*_wrapped(self.title, width), ""]
        for caution in self.cautions:
            lines += _wrapped(f"{caution.signal}: {caution.text}", width, indent=2)
        for step in self.steps:
            lines += ["", *_step_lines(step, width)]
        return lines


def isolate(
    unit: Unit,
    *,
    zone: str = "outdoor",
    values: Mapping[Key, float | FloatArray] | None = None,
    inside_devices: bool = False,
) -> IsolationPlan:
    """The plan of work for making ``zone`` of ``unit`` dead.

    ``values`` are the edits of a fault that the unit is known to have, by (block, parameter), so
    that a welded contactor or a lost leg is reckoned with.  ``inside_devices`` says that the
    zone's disconnect is opened up and worked on as well.  Raises UnknownName for a zone or a
    parameter that does not exist.
    """
    plan = Plan(unit)
    if not plan.defaults.keys() >= (values or {}).keys():
        plan = Plan(with_alternates(unit))  # the fault may be a wire on a wrong terminal
    found = find(plan, zone, checked_edits(plan, values), inside_devices=inside_devices)
    return IsolationPlan(found, cautions(found), work_steps(found))


def _plain(value: Any) -> Any:
    """Dataclasses, tuples and sets as dicts and lists."""
    if hasattr(value, "__dataclass_fields__"):
        return {key: _plain(each) for key, each in asdict(value).items()}
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, frozenset):
        return sorted(value)
    return [_plain(each) for each in value] if isinstance(value, tuple | list) else value


def _step_lines(step: Step, width: int) -> Iterator[str]:
    yield from _wrapped(f"{step.number}. [{place_words(step.place)}] {step.text}", width, indent=4)
    if step.must_read:
        yield from _wrapped(f"    Must read: {step.must_read}.", width, indent=6)
    if step.else_means:
        yield from _wrapped(f"    {step.else_means}.", width, indent=6)
    for caution in step.cautions:
        yield from _wrapped(f"    {caution.signal}: {caution.text}", width, indent=6)


_BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:V|W|J|s|kΩ)\b)")
_TIE = "\N{NO-BREAK SPACE}"


def _wrapped(text: str, width: int, indent: int = 0) -> list[str]:
    """Lines no longer than ``width`` that do not part a number from its unit."""
    tied = _BEFORE_UNIT.sub(_TIE, text)
    lines = textwrap.wrap(tied, width, subsequent_indent=" " * indent)
    return [line.replace(_TIE, " ") for line in lines]
