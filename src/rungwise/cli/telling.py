"""Laying out an answer: the cause, what the readings said, the next check and why that one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rungwise.circuit import Shortfall
from rungwise.cli.page import Page
from rungwise.diagnosis import (
    CheckCard,
    SuspectCard,
    Taken,
    Told,
    Verdict,
    WrongPart,
    acquittal_lines,
    doubt_lines,
    headline,
    owed_lines,
    percent,
    sentence,
    strength,
    to_do_lines,
)
from rungwise.services import (
    CLEAR_BITS,
    SPOKEN,
    WHY_STOP,
    CallDiagnosis,
    by_band,
    complaint_lines,
    minutes,
    own_line,
    question,
    why_this,
)
from rungwise.unit import Unit
from rungwise.wording import day_told

SHOWN = 5
"""Repairs listed when nothing is decided."""


def tell_answer(page: Page, answer: CallDiagnosis) -> None:
    """The whole diagnosis of a call."""
    tell_head(page, answer)
    tell_shortfalls(page, answer.shortfalls)
    for witness in answer.witnesses:
        page.point(witness.line())
    tell_cause(page, answer)
    tell_next(page, answer)
    tell_readings(page, answer)


def tell_head(page: Page, answer: CallDiagnosis) -> None:
    """Whose call it is, on which unit, and whom somebody suspects."""
    call, unit = answer.call, answer.opened.unit
    who = (
        ("for", call.customer),
        ("by", call.technician),
        ("on", day_told(call.date) if call.date else ""),
    )
    facts = [" ".join(f"{word} {name}" for word, name in who if name), unit.title]
    if call.suspected:
        facts.append(f"Somebody suspects: {part_title(unit, call.suspected)}")
    page.title(call.title or "Call", [sentence(fact) for fact in facts if fact])


def tell_cause(page: Page, answer: CallDiagnosis) -> None:
    """What is wrong as far as the readings tell, and what it is not."""
    page.heading("cause")
    told = answer.verdict
    if told.kind == "undecided":
        besides = (
            "No part is proved faulty besides."
            if answer.witnesses
            else ("Not settled by readings." if answer.advice.stop else "Still narrowing it down.")
        )
        page.say(besides, style="bold")
        _tell_order(page, told)
    else:
        _tell_named(page, told)
    for doubt in doubt_lines(told):
        page.point(doubt, mark="?")
    if told.kind in ("found", "suspected") and told.runners_up:
        left = "; ".join(f"{_named(each.suspect)} ({percent(each.probability)})"
                         for each in told.runners_up[:SHOWN])  # fmt: skip
        page.say(f"Not ruled out: {left}.")
    if told.wrong_part:
        _tell_other_part(page, answer, told.wrong_part)
    if own_line(answer):
        page.say(own_line(answer))
    for line in complaint_lines(answer.said):
        page.say(line)


def _tell_named(page: Page, told: Verdict) -> None:
    """The answer, what comes before its repair, the repair and what is behind it."""
    page.say(headline(told), style="bold")
    if told.kind == "none_of_these":
        page.say("Look for what no list has: somebody's work, damage, a part of another rating.")
    for line in (*owed_lines(told), *to_do_lines(told), *acquittal_lines(told)):
        page.point(str(line))


def _tell_order(page: Page, told: Verdict) -> None:
    """What may be wrong, likeliest first; how to try them is told only when checks run out."""
    left = ([told.answer] if told.answer else []) + list(told.runners_up)
    for each in left[:SHOWN]:
        page.point(f"{_named(each.suspect)} ({percent(each.probability)})")
    if len(left) > SHOWN:
        rest = sum(each.probability for each in left[SHOWN:])
        page.point(f"{len(left) - SHOWN} more, each less likely ({percent(rest)} together)")


def tell_try_order(page: Page, told: Verdict) -> None:
    """In which order to try repairs when no check can tell them apart."""
    page.say("To try in this order, which costs least on average:")
    for place, each in enumerate(told.try_order[:SHOWN], start=1):
        text = f"{sentence(str(each.suspect.to_do))[:-1]} ({percent(each.probability)})."
        page.point(text, mark=f"{place}.")


def _tell_other_part(page: Page, answer: CallDiagnosis, wrong: WrongPart) -> None:
    """The part that somebody took, or might have taken, for the culprit."""
    title, now = part_title(answer.opened.unit, wrong.part), percent(wrong.now)
    if answer.verdict.kind in ("found", "suspected"):
        peak = percent(wrong.believed)
        page.say(f"A guess would have replaced: {title} ({peak} at the most, {now} now).")
    elif answer.call.suspected:
        page.say(f"The {title}, which somebody suspects, stands at {now}.")
    else:
        return
    for taken in wrong.cleared_by:
        page.point(f"{_outcome(taken)}: {strength(taken.bits)} this part.", indent=2)


def tell_readings(page: Page, answer: CallDiagnosis) -> None:
    """Each reading, and for and against whom it spoke."""
    page.heading("what the readings said")
    if not answer.explanation.readings:
        page.say("No reading yet.")
    for remark in answer.remarks:
        if isinstance(remark, str):
            page.say(remark)
        else:
            page.caution(remark)
    for told in answer.explanation.readings:
        page.point(f"{question(told.check)} {told.text}")
        for line in _opinions(told):
            page.say(line, indent=4)


def _opinions(told: Told) -> Iterator[str]:
    """One line for each strength of opinion, for before against; slight ones are left out."""
    by_strength: dict[str, list[str]] = {}
    clear = sorted(told.opinions, key=lambda each: -abs(each.bits))
    for side in (1.0, -1.0):
        for each in [one for one in clear if side * one.bits >= CLEAR_BITS][:SPOKEN]:
            by_strength.setdefault(strength(each.bits), []).append(_named(each.suspect))
    for adverb, names in by_strength.items():
        yield f"{adverb}: {'; '.join(names)}"
    if not by_strength and told.check.form == "number":
        yield "says little of what is left"


def tell_next(page: Page, answer: CallDiagnosis) -> None:
    """The check to make next: where the leads go, what it will read, and why this one."""
    page.heading("next check")
    advice = answer.advice
    if advice.check is None:
        page.say(WHY_STOP[advice.why])
        if not answer.decided and answer.verdict.try_order:
            tell_try_order(page, answer.verdict)
        return
    tell_check(page, advice.check)
    page.say(f'Write it as check = "{advice.check.id}".', indent=2)
    tell_expected(page, answer)


def tell_expected(page: Page, answer: CallDiagnosis) -> None:
    """What the check that is explained will read, by whom it would show, and why it is made."""
    page.say("What it will read:")
    for band, names in by_band(answer.explanation).items():
        page.point("; ".join(names), mark=f"{band}:", indent=2)
    page.say(why_this(answer))


def tell_check(page: Page, card: CheckCard) -> None:
    """How a check is made: meter, leads, the unit's state, what comes before, and cautions."""
    page.say(question(card).removesuffix(":"), style="bold")
    rows = {
        "instrument": card.instrument,
        "leads": card.where,
        "unit": card.condition,
        "before": "; ".join(card.needs),
        "time": minutes(card.minutes),
    }
    page.pairs([(left, right) for left, right in rows.items() if right], indent=2)
    for caution in card.cautions:
        page.caution(caution, indent=2)


def tell_shortfalls(page: Page, found: Iterable[Shortfall]) -> None:
    """What the unit as found does not do; nothing where it does all it should."""
    held = tuple(found)
    if not held:
        return
    page.heading("what this circuit does not do")
    for each in held:
        page.warn("NOTICE", f"{each.line()}")


def part_title(unit: Unit, block: str) -> str:
    """What a person calls a part, a wire, or the conductors that touch."""
    titles = {each.name: each.title for each in unit.blocks()}
    return titles.get(block, block)


def _named(suspect: SuspectCard) -> str:
    return suspect.title


def _outcome(taken: Taken) -> str:
    return f"{question(taken.check)} {taken.text}"
