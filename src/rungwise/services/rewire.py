"""The moves of wires to a new part and the check of a record, as plain values."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rungwise.circuit import Situation
from rungwise.parts import JOINT_WORDS
from rungwise.rewiring import (
    FINISH,
    Consequence,
    Crowd,
    Judged,
    LeftCheck,
    MoveList,
    Rewiring,
    Step,
    Yardstick,
)
from rungwise.services.as_json import unit_json
from rungwise.services.results import (
    CheckedWiresResult,
    ConsequenceResult,
    CrowdResult,
    JudgedWiresResult,
    MovesResult,
    RewireResult,
    StepResult,
)
from rungwise.services.wording.terminal_words import moved_words, wire_called
from rungwise.unit import Unit
from rungwise.wording import joined, mark, say


@dataclass(frozen=True)
class RewireAnswer:
    """The answer to a wires file about a new part, or about a record."""

    found: Rewiring

    @property
    def situations(self) -> tuple[Situation, ...]:
        """What the unit may be asked to live through."""
        return Yardstick(self.found.unit).situations

    @property
    def good(self) -> bool:
        """Whether nothing has to be put right."""
        return self.found.passes

    def as_json(self) -> RewireResult:
        """The same as plain values."""
        told = self.found
        return {
            "unit": unit_json(told.unit),
            "part": told.record.part or None,
            "passes": told.passes,
            "cautions": [{"signal": it.signal, "text": it.text} for it in told.cautions],
            "as_found": _check_json(told.unit, told.found, self.situations),
            "moves": moves_json(told.moves) if told.moves else None,
            "as_left": _check_json(told.unit, told.left, self.situations),
            "torques": [
                {"wire": wire, "in_lb": in_lb, "source": "marked" if in_lb else None}
                for wire, in_lb in told.torques
            ],
            "crowded": _crowds_json(told.unit, told.crowded),
            "crowded_as_found": _crowds_json(told.unit, told.crowded_found),
        }


def consequence_json(each: Consequence, situations: Sequence[Situation]) -> ConsequenceResult:
    """A consequence with all its situations."""
    names = [situations[at].name for at in each.situations]
    return {"part": each.part, "text": each.text, "situations": names}


def _crowds_json(unit: Unit, crowds: Iterable[Crowd]) -> list[CrowdResult]:
    return [
        {
            "terminal": each.terminal,
            "wires": list(each.wires),
            "places": list(each.places),
            "amp": each.amp,
            "text": crowded_text(unit, each),
        }
        for each in crowds
    ]


def crowded_text(unit: Unit, crowd: Crowd) -> str:
    """What is wrong with a terminal that does not hold its wires, and what comes of it."""
    wires = [
        joined(" ", (wire_called(unit, name), say("({joint})", joint=JOINT_WORDS[joint])))
        if joint
        else wire_called(unit, name)
        for name, joint in crowd.wires
    ]
    return say(
        "no room on {terminal} for all of these: {wires}. It has {places}. A wire that no place "
        "holds works loose and burns the terminal, at up to {amp} A here. One wire to a place "
        "unless it is marked for more; else join two to one tail with a listed connector",
        terminal=unit.end_words(crowd.terminal),
        wires=joined("; ", wires),
        places=joined(", ", map(mark, crowd.places)),
        amp=f"{crowd.amp:.1f}",
    )


def moves_json(moves: MoveList) -> MovesResult:
    """The moves as plain values."""
    return {
        "part": moves.part,
        "beside": moves.beside,
        "most_loose": moves.most_loose,
        "crowded": list(moves.crowded),
        "steps": [_step_json(each) for each in moves.steps],
        "finish": list(FINISH),
    }


def _step_json(step: Step) -> StepResult:
    return {
        "does": step.does,
        "wire": step.wire.name,
        "colour": step.wire.colour,
        "awg": step.wire.awg,
        "side": step.side,
        "old": step.old,
        "new": step.new,
        "joint": step.joint,
        "place": step.place,
        "work": step.work or None,
        "care": step.care or None,
        "tighten": step.tighten,
        "loose": step.loose,
    }


def _check_json(
    unit: Unit, check: LeftCheck | None, situations: Sequence[Situation]
) -> CheckedWiresResult | None:
    if check is None:
        return None
    return {
        "passes": check.passes,
        "groups": [judged_json(unit, each, situations) for each in check.groups],
        "whole": _all_json(check.whole, situations),
        "part": _all_json(check.part, situations),
    }


def judged_json(unit: Unit, judged: Judged, situations: Sequence[Situation]) -> JudgedWiresResult:
    """What came of a group of wires, as plain values."""
    return {
        "status": judged.status,
        "wires": list(judged.group.wires),
        "moves": [
            {
                "wire": wire,
                "belongs": belongs or None,
                "is_on": is_on or None,
                "text": moved_words(unit, wire, belongs, is_on),
            }
            for wire, belongs, is_on in judged.group.moves()
        ],
        "does": _all_json(judged.does, situations),
        "why": judged.why or None,
        "in_company": judged.in_company,
        "live": list(judged.live),
        "label": judged.label or None,
    }


def _all_json(
    does: Iterable[Consequence], situations: Sequence[Situation]
) -> list[ConsequenceResult]:
    return [consequence_json(each, situations) for each in does]
