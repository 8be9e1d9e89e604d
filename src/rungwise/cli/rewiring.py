"""Laying out the moves of wires to a new part, and the check of a record."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from rungwise.circuit.situations import Situation
from rungwise.cli.as_json import unit_json
from rungwise.cli.page import Page
from rungwise.rewiring import (
    Consequence,
    Judged,
    LeftCheck,
    MoveList,
    Rewiring,
    Step,
    Yardstick,
    when,
)

__all__ = ["Answer", "consequence_json", "tell_consequences"]

SHOWN = 5
"""Consequences told of one group of wires; all of them are in the JSON answer."""

MARKS = {"wrong": "wrong:", "against the marks": "turn:", "harmless": "ok:"}


@dataclass(frozen=True)
class Answer:
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

    def tell(self, page: Page, *, cautions: bool = True) -> None:
        """Print it: cautions, what was wrong as found, the moves, what is wrong as left."""
        told = self.found
        for caution in told.cautions if cautions else ():
            page.say(f"{caution.signal}: {caution.text}")
        if told.found is not None:
            page.heading("as found")
            self._tell_check(page, told.found, "Every wire was where it does what it should.")
        if told.moves is not None and told.left is None:
            page.heading("the moves")
            self._tell_moves(page, told.moves)
        if told.left is not None:
            page.heading("as left")
            self._tell_check(page, told.left, "The unit does all it should, in every situation.")

    def as_json(self) -> dict[str, Any]:
        """The same as plain values."""
        told = self.found
        return {
            "unit": unit_json(told.unit),
            "part": told.record.part or None,
            "passes": told.passes,
            "cautions": [asdict(each) for each in told.cautions],
            "as_found": _check_json(told.found, self.situations),
            "moves": _moves_json(told.moves) if told.moves else None,
            "as_left": _check_json(told.left, self.situations),
        }

    def _tell_check(self, page: Page, check: LeftCheck, good: str) -> None:
        page.say(good if check.passes else "Something has to be put right.", style="bold")
        for judged in sorted(check.groups, key=lambda each: tuple(MARKS).index(each.status)):
            self._tell_group(page, judged)
        if check.part:
            page.say("NOTICE: The new part itself, with every wire where it belongs:")
            tell_consequences(page, check.part, self.situations)

    def _tell_group(self, page: Page, judged: Judged) -> None:
        page.point(_where(judged), mark=MARKS[judged.status], style="bold")
        if judged.in_company:
            page.say("It does no harm alone; with the other wires as they are:", indent=4)
        if judged.status == "wrong":
            tell_consequences(page, judged.does, self.situations)
        else:
            page.say(f"{_reason(judged)}.", indent=4)
        if judged.live:
            page.say(
                "WARNING: With the thermostat off these now stay live, which they were not meant "
                f"to: {', '.join(judged.live)}.",
                indent=4,
            )

    def _tell_moves(self, page: Page, moves: MoveList) -> None:
        page.say(_course(moves))
        for line in moves.crowded:
            page.say(f"CAUTION: {line}.")
        for place, care in {step.place: step.care for step in moves.steps if step.care}.items():
            page.point(f"{care}.", mark=f"{place}:")
        side = ""
        for number, step in enumerate(moves.steps, start=1):
            if step.side != side:
                side = step.side
                page.blank()
                page.say(f"{side[0].upper()}{side[1:]}", style="bold")
            _tell_step(page, number, step)


def tell_consequences(
    page: Page, does: Sequence[Consequence], situations: Sequence[Situation]
) -> None:
    """Consequences, worst first, each with where it shows."""
    for each in does[:SHOWN]:
        page.point(f"{_places(each, situations)}: {each.text}.", indent=4)
    if len(does) > SHOWN:
        page.say(f"And {len(does) - SHOWN} more, in the --json answer.", indent=4)


def consequence_json(each: Consequence, situations: Sequence[Situation]) -> dict[str, Any]:
    """A consequence with all its situations."""
    names = [situations[at].name for at in each.situations]
    return {"part": each.part, "text": each.text, "situations": names}


def _places(each: Consequence, situations: Sequence[Situation]) -> str:
    told = when(situations[each.situations[0]])
    more = len(each.situations) - 1
    also = f", and in {more} more situation{'s' if more > 1 else ''}" if more else ""
    return f"{told[0].upper()}{told[1:]}{also}"


def _where(judged: Judged) -> str:
    told: dict[str, list[str]] = {}
    for wire, belongs, is_on in judged.group.moves():
        if not belongs:
            told.setdefault(f"{wire} was added between", []).append(is_on)
        elif not is_on:
            told.setdefault(f"{wire} is off and belongs between", []).append(belongs)
        else:
            told.setdefault(f"{wire} is on {is_on} and belongs on", []).append(belongs)
    return "; ".join(f"{said} {' and '.join(ends)}" for said, ends in told.items())


def _reason(judged: Judged) -> str:
    why = judged.why or "solved in every situation, it changes nothing"
    if judged.status == "against the marks":
        why += "; but the part is marked, and the next hand will go by the marks: turn it"
    return why[0].upper() + why[1:]


def _course(moves: MoveList) -> str:
    if moves.beside:
        return (
            "Hold the new part beside the old one and take the wires across one at a time: never "
            f"more than {moves.most_loose} end is loose, and a side that is not begun still shows "
            "on the old part where everything was."
        )
    return (
        f"The old part must come out first, so up to {moves.most_loose} ends hang free: tag each "
        "before it comes off. If the wires reach, hold the new part beside the old one instead."
    )


def _tell_step(page: Page, number: int, step: Step) -> None:
    wire = step.wire
    about = f"{wire.colour} {wire.awg:g} AWG ({wire.name})"
    route = {
        "move": f"{about}: off {step.old}, onto {step.new}",
        "take off": f"{about}: tag it {step.old}, and take it off",
        "put on": f"{about}: onto {step.new}",
    }[step.does]
    page.point(f"{route} ({step.place})" if step.care else route, mark=f"{number}.")
    if step.work:
        page.say(f"From {step.joint} to {step.place}: {step.work}.", indent=4)


def _moves_json(moves: MoveList) -> dict[str, Any]:
    return {
        "part": moves.part,
        "beside": moves.beside,
        "most_loose": moves.most_loose,
        "crowded": list(moves.crowded),
        "steps": [_step_json(each) for each in moves.steps],
    }


def _step_json(step: Step) -> dict[str, Any]:
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


def _check_json(check: LeftCheck | None, situations: Sequence[Situation]) -> dict[str, Any] | None:
    if check is None:
        return None
    return {
        "passes": check.passes,
        "groups": [_judged_json(each, situations) for each in check.groups],
        "whole": _all_json(check.whole, situations),
        "part": _all_json(check.part, situations),
    }


def _judged_json(judged: Judged, situations: Sequence[Situation]) -> dict[str, Any]:
    return {
        "status": judged.status,
        "wires": list(judged.group.wires),
        "moves": [
            {"wire": wire, "belongs": belongs or None, "is_on": is_on or None}
            for wire, belongs, is_on in judged.group.moves()
        ],
        "does": _all_json(judged.does, situations),
        "why": judged.why or None,
        "in_company": judged.in_company,
        "live": list(judged.live),
    }


def _all_json(does: Iterable[Consequence], situations: Sequence[Situation]) -> list[dict[str, Any]]:
    return [consequence_json(each, situations) for each in does]
