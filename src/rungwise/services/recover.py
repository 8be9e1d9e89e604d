"""What loose wires may be, the next continuity check, and where each wire goes, as plain values."""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.circuit import Situation
from rungwise.parts import EARTH
from rungwise.rewiring import Broken, Check, Misfit, Mistake, Recovery, Yardstick
from rungwise.services.as_json import unit_json
from rungwise.services.results import (
    BrokenResult,
    BrokenWireResult,
    LostCheckResult,
    MisfitResult,
    MistakeResult,
    RecoverResult,
)
from rungwise.services.rewire import consequence_json


@dataclass(frozen=True)
class RecoverAnswer:
    """The answer to a file of loose wires."""

    found: Recovery

    @property
    def situations(self) -> tuple[Situation, ...]:
        """What the unit may be asked to live through."""
        return Yardstick(self.found.unit).situations

    @property
    def good(self) -> bool:
        """Whether it is known where each wire goes."""
        return self.found.found

    def as_json(self) -> RecoverResult:
        """The same as plain values."""
        standing = self.found.standing
        check = standing.next_check
        mistake = standing.mistake if check else None
        return {
            "unit": unit_json(self.found.unit),
            "found": self.found.found,
            "remaining": standing.remaining,
            "cautions": [{"signal": it.signal, "text": it.text} for it in self.found.cautions],
            "placed": dict(standing.placed) if self.found.found or standing.broken else None,
            "placed_so_far": dict(standing.placed),
            "broken": [_broken_json(each) for each in self.found.broken],
            "misfits": [_misfit_json(each) for each in standing.misfits],
            "may_belong": dict(standing.may_belong()),
            "mistake": self._mistake_json(mistake) if mistake else None,
            "next": _check_json(check) if check else None,
            "strange_readings": [each.line for each in standing.strange_readings()],
            "unrecorded_windings": list(self.found.unrecorded),
        }

    def _mistake_json(self, mistake: Mistake) -> MistakeResult:
        does = [consequence_json(each, self.situations) for each in mistake.does]
        return {"one": mistake.one, "other": mistake.other, "does": does}


def _broken_json(each: Broken) -> BrokenResult:
    wires: list[BrokenWireResult] = [
        {"wire": it.wire, "far": it.far, "near": it.near} for it in each.wires
    ]
    return {"name": each.name, "wires": wires}


def _misfit_json(each: Misfit) -> MisfitResult:
    return {
        "name": each.name,
        "near": each.near,
        "wire": each.wire,
        "awg": each.awg,
        "record_awg": each.record_awg,
    }


EARTH_KEY = "ground"


def _check_json(check: Check) -> LostCheckResult:
    return {
        "from": EARTH_KEY if check.a == EARTH else check.a,
        "to": EARTH_KEY if check.b == EARTH else check.b,
        "then": list(check.then),
        "covered": check.covered,
        "minutes": check.minutes,
        "bits": check.bits,
        "outcomes": [
            {"low_ohm": each.low_ohm, "high_ohm": each.high_ohm, "share": each.share}
            for each in check.outcomes
        ],
    }
