"""Laying out the moves of wires to a new part, and the check of a record."""

from __future__ import annotations

from collections.abc import Sequence

from rungwise.circuit import Situation
from rungwise.cli.page import Page
from rungwise.parts import end_mark
from rungwise.rewiring import (
    FINISH,
    Consequence,
    Judged,
    LeftCheck,
    MoveList,
    Step,
)
from rungwise.services import RewireAnswer, crowded_text, wire_called
from rungwise.unit import Unit

SHOWN = 5
"""Consequences told of one group of wires; all of them are in the JSON answer."""


MARKS = {
    "wrong": "wrong:", "stays live": "live:", "against the marks": "turn:", "harmless": "ok:",
}  # fmt: skip


def tell_rewiring(page: Page, answer: RewireAnswer, *, cautions: bool = True) -> None:
    """Print it: cautions, what was wrong as found, the moves, what is wrong as left."""
    told = answer.found
    for caution in told.cautions if cautions else ():
        page.caution(caution)
    if cautions:
        page.say("How to lock out, step by step: rungwise isolate.")
    if told.found is not None:
        page.heading("as found")
        _tell_check(page, answer, told.found, "Every wire was where it does what it should.")
    for crowd in told.crowded_found:
        page.point(f"{crowded_text(answer.found.unit, crowd)}.", mark="crowded:", style="bold")
    if told.moves is not None and told.left is None:
        page.heading("the moves")
        _tell_moves(page, told.moves)
    if told.left is not None:
        page.heading("as left")
        good = "The unit does all it should, in every situation."
        if told.crowded and told.left.passes:
            good = "The circuit does all it should, but not every wire is held."
        _tell_check(page, answer, told.left, good)
        _tell_torques(page, answer)
    for crowd in told.crowded:
        page.point(f"{crowded_text(answer.found.unit, crowd)}.", mark="crowded:", style="bold")


def _tell_check(page: Page, answer: RewireAnswer, check: LeftCheck, good: str) -> None:
    page.say(good if check.passes else "Do not power up. Fix this first.", style="bold")
    for judged in sorted(check.groups, key=lambda each: tuple(MARKS).index(each.status)):
        _tell_group(page, answer, judged)
    if check.part:
        page.warn("NOTICE", "The new part itself, with every wire where it belongs:")
        tell_consequences(page, check.part, answer.situations)


def _tell_group(page: Page, answer: RewireAnswer, judged: Judged) -> None:
    page.point(_where(answer.found.unit, judged), mark=MARKS[judged.status], style="bold")
    if judged.in_company:
        page.say("It does no harm alone; with the other wires as they are:", indent=4)
    if judged.status == "wrong":
        tell_consequences(page, judged.does, answer.situations)
    else:
        page.say(f"{_reason(judged)}.", indent=4)
    if judged.live:
        page.warn(
            "WARNING",
            "With the thermostat off these now stay live, which they were not meant "
            f"to: {', '.join(map(answer.found.unit.end_words, judged.live))}. Put it behind the "
            "contactor.",
            indent=4,
        )
    if judged.label:
        page.warn("WARNING", f'Put this in the door: "{judged.label}"', indent=4)


def _tell_moves(page: Page, moves: MoveList) -> None:
    page.say(_course(moves))
    page.say("In brackets: the wire's name in the unit's file.")
    for line in moves.crowded:
        page.warn("CAUTION", f"{line}.")
    for place, care in {step.place: step.care for step in moves.steps if step.care}.items():
        page.point(f"{care}.", mark=f"{place}:")
    side = ""
    for number, step in enumerate(moves.steps, start=1):
        if step.side != side:
            side = step.side
            page.blank()
            page.say(f"{side[0].upper()}{side[1:]}", style="bold")
        _tell_step(page, number, step)
    page.blank()
    page.say("Before the cover goes back on", style="bold")
    for line in FINISH:
        page.point(f"{line}.")


def _tell_torques(page: Page, answer: RewireAnswer) -> None:
    torques = [
        (wire_called(answer.found.unit, wire), in_lb) for wire, in_lb in answer.found.torques
    ]
    written = [f"{wire} {in_lb:g} in-lb" for wire, in_lb in torques if in_lb]
    if written:
        page.say(f"Tightened as marked on the part: {'; '.join(written)}.")
    missing = [wire for wire, in_lb in torques if not in_lb]
    if missing:
        page.warn(
            "NOTICE",
            f"No torque is written for {'; '.join(missing)}. Tighten to what is marked on "
            "the part, and write it down: torque_in_lb = ...",
        )


def tell_consequences(
    page: Page, does: Sequence[Consequence], situations: Sequence[Situation]
) -> None:
    """Consequences, worst first, each with where it shows."""
    for each in does[:SHOWN]:
        page.point(f"{_places(each, situations)}: {each.text}.", indent=4)
    if len(does) > SHOWN:
        page.say(f"And {len(does) - SHOWN} more, in the --json answer.", indent=4)


def _places(each: Consequence, situations: Sequence[Situation]) -> str:
    told = situations[each.situations[0]].clause
    more = len(each.situations) - 1
    also = f", and in {more} more situation{'s' if more > 1 else ''}" if more else ""
    return f"{told[0].upper()}{told[1:]}{also}"


def _where(unit: Unit, judged: Judged) -> str:
    told: dict[str, list[str]] = {}
    for name, *ends in judged.group.moves():
        wire = wire_called(unit, name)
        belongs, is_on = (unit.end_words(end) if end else "" for end in ends)
        if not belongs:
            told.setdefault(f"{wire} was added between", []).append(is_on)
        elif not is_on:
            told.setdefault(f"{wire} is off and belongs between", []).append(belongs)
        else:
            told.setdefault(f"{wire} is on {is_on} and belongs on", []).append(belongs)
    return "; ".join(f"{said} {' and '.join(ends)}" for said, ends in told.items())


def _reason(judged: Judged) -> str:
    why = judged.why or "solved in every situation, it changes nothing"
    if judged.status == "stays live":
        why = "what runs does so as it should, but it lies ahead of the contactor now"
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
    old, new = end_mark(step.old), end_mark(step.new)
    route = {
        "move": f"{about}: off {old}, onto {new}",
        "take off": f"{about}: tag it {old}, and take it off",
        "put on": f"{about}: onto {new}",
    }[step.does]
    page.point(f"{route} ({step.place})" if step.care else route, mark=f"{number}.")
    if step.work:
        page.say(f"From {step.joint} to {step.place}: {step.work}.", indent=4)
