"""Laying out what loose wires may be, the next check, and where each wire goes."""

from __future__ import annotations

import math

from rungwise.cli.page import Page
from rungwise.cli.rewiring_told import tell_consequences, tell_rewiring
from rungwise.parts import EARTH
from rungwise.quantity import format_quantity
from rungwise.rewiring import OPEN_OHM, TERMINAL_COVER, Check, Outcome
from rungwise.services import EARTH_KEY, RecoverAnswer, WiresAnswer

LISTED = 3
"""Terminals told of one loose end, and readings told of one check."""


def tell_recovery(page: Page, answer: RecoverAnswer, *, cautions: bool = True) -> None:
    """Print it: whether it is known where each wire goes; if not, what to measure next."""
    told = answer.found
    for caution in told.cautions if cautions else ():
        page.caution(caution)
    if cautions:
        page.say("How to lock out, step by step: rungwise isolate.")
    page.heading("what is left")
    if told.standing.alike:
        _tell_found(page, answer)
    elif told.broken:
        _tell_broken(page, answer)
    elif told.standing.remaining:
        _tell_open(page, answer)
    else:
        _tell_contradiction(page, answer)


def _tell_found(page: Page, answer: RecoverAnswer) -> None:
    standing = answer.found.standing
    page.say(
        f"Every loose end is placed by a reading of its own. {_ways(standing.remaining)} left, and "
        "the unit does all it should by every one of them.",
        style="bold",
    )
    _tell_misfits(page, answer)
    page.heading("where each goes")
    _tell_placed(page, answer)
    if standing.found:
        page.warn(
            "NOTICE",
            "Write down how you left them, and have `rungwise rewire` check it before the "
            "power comes back.",
        )


def _tell_misfits(page: Page, answer: RecoverAnswer) -> None:
    for each in answer.found.standing.misfits:
        page.warn(
            "WARNING",
            f"Stop. {each.name} is {each.awg:g} AWG, and the wire {each.wire} that "
            f"belongs on {each.near} is {each.record_awg:g} AWG in the unit file: a gauge seldom "
            "lies. Do not put it there, and do not power up. Read it again; where the wire is so, "
            f'write it as found: wire = "{each.wire}", awg = {each.awg:g}.',
        )


def _tell_placed(page: Page, answer: RecoverAnswer) -> None:
    standing = answer.found.standing
    colors = {end: wire.colour for wire in standing.loose for end in wire.ends}
    page.pairs(
        [
            (f"{name} {colors[name]}".strip(), f"onto {terminal}")
            for name, terminal in standing.placed.items()
        ]
    )


def _tell_broken(page: Page, answer: RecoverAnswer) -> None:
    """Ends that read to nothing once all others are placed: the answer is a new wire."""
    for each in answer.found.broken:
        page.say(f"{each.name} reads to nothing: broken?", style="bold")
        for wire in each.wires:
            way = f"from {wire.far} to {wire.near}" if wire.far else f"to {wire.near}"
            page.point(f"By what is left it is {wire.wire}, {way}.", indent=2)
    page.warn(
        "WARNING",
        "Do not power up, and do not put a broken wire back. Touch it once more, at its "
        "far end and close by it. If it still reads to nothing, run a new wire of the same gauge, "
        "read it through from end to end, and write that down as a reading.",
    )
    _tell_misfits(page, answer)
    page.heading("where the others go")
    _tell_placed(page, answer)


def _ways(many: int) -> str:
    return "One way is" if many == 1 else f"{many} ways are"


def _tell_open(page: Page, answer: RecoverAnswer) -> None:
    standing = answer.found.standing
    page.warn(
        "WARNING",
        f"Do not power up. {len(standing.placed)} of {len(standing.names)} loose ends "
        f"are placed by a reading; {_many(standing.remaining)} ways are left to put these wires.",
    )
    if standing.mistake:
        one, other = standing.mistake.one, standing.mistake.other
        page.say(f"Were {one} and {other} taken for one another:")
        tell_consequences(page, standing.mistake.does[:LISTED], answer.situations)
    page.heading("next check")
    if standing.next_check is None:
        page.say(
            "No continuity check that is left would tell them apart. Follow the wires by hand "
            "to their far ends, and write down where each ends (far = ...)."
        )
    else:
        _tell_check(page, standing.next_check)
    _tell_windings(page, answer)
    if standing.placed:
        page.heading("placed so far")
        _tell_placed(page, answer)
    page.heading("where the others may belong" if standing.placed else "where each may belong")
    for name, share in standing.may_belong():
        if name in standing.placed:
            continue
        best = [f"{terminal} ({_percent(part)})" for terminal, part in share.items()]
        more = f" and {len(best) - LISTED} more" if len(best) > LISTED else ""
        page.point(", ".join(best[:LISTED]) + more, mark=f"{name}:")
    page.say(
        "Shares go by color and gauge, which are habits; they rule nothing out and place nothing."
    )


def _tell_windings(page: Page, answer: RecoverAnswer) -> None:
    for name in answer.found.unrecorded:
        page.warn(
            "NOTICE",
            f"The winding ohms of the {answer.found.unit.part(name).title} are not "
            f"known. Where its label or sheet gives them, write {name}.C to {name}.R and {name}.C "
            f"to {name}.S down as readings: then fewer checks are needed.",
        )


def _tell_contradiction(page: Page, answer: RecoverAnswer) -> None:
    page.say("No way to put these wires fits all readings.", style="bold")
    strange = answer.found.standing.strange_readings()
    for reading in strange:
        page.point(
            f"Without {_point(reading.a)} to {_point(reading.b)}, {reading.typed} (line "
            f"{reading.line}), something would fit. Retake it.",
            mark="?",
        )
    if not strange:
        page.say("More than one of them must be wrong: zero the meter, and take them again.")
    page.warn("WARNING", "Do not power up.")


def _tell_check(page: Page, check: Check) -> None:
    page.say(f"Ohms between {_point(check.a)} and {_point(check.b)}", style="bold")
    page.pairs(
        [
            ("instrument", "ohms, leads zeroed"),
            ("unit", "dead, disconnect out, thermostat off"),
            ("time", format_quantity(check.minutes, "min")),
        ],
        indent=2,
    )
    if check.covered:
        page.warn("WARNING", f"{TERMINAL_COVER}")
    if check.outcomes:
        page.say("What it may read:")
    for outcome in check.outcomes[: LISTED + 1]:
        page.point(_percent(outcome.share), mark=f"{_band(outcome)}:", indent=2)
    _tell_sweep(page, check)


def _tell_sweep(page: Page, check: Check) -> None:
    a, b = (EARTH_KEY if each == EARTH else each for each in (check.a, check.b))
    if not check.then:
        page.say(f'Write it as from = "{a}", to = "{b}".', indent=2)
        return
    page.say(
        f"Keep one lead on {_point(check.b)}. If it reads OL, touch {', then '.join(check.then)} "
        "with the other, until one reads near 0 Ω; a beep alone is not enough at a motor.",
        indent=2,
    )
    page.say(
        f'Write the sweep as one: from = "{b}", ol = ["{a}", ...], to = the one that read, '
        "value = what it read.",
        indent=2,
    )


def _point(point: str) -> str:
    return "bare metal of the cabinet" if point == EARTH else point


def _band(outcome: Outcome) -> str:
    if outcome.low_ohm > OPEN_OHM or math.isinf(outcome.high_ohm):
        return "OL"
    if outcome.high_ohm < 0.5:
        return "near 0 Ω"
    low, high = (format_quantity(each, "Ω", 2) for each in (outcome.low_ohm, outcome.high_ohm))
    return f"near {low}" if low == high else f"{low} to {high}"


def _percent(share: float) -> str:
    """A share; one that is not nothing is never told as nothing."""
    return f"{share:.0%}" if share >= 0.01 else "under 1%"


def _many(ways: int) -> str:
    return f"{ways:,}"


def tell_wired(page: Page, wires: WiresAnswer) -> None:
    """Print it, without the cautions, which the plan for making the unit dead has told."""
    if isinstance(wires, RecoverAnswer):
        tell_recovery(page, wires, cautions=False)
    else:
        tell_rewiring(page, wires, cautions=False)
