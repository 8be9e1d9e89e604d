"""Customer report: is it fixed, can I run it, what was found and done, what next, whom to call.

Every sentence here comes from typed values: the verdict of the call, the standing of the proof,
the levels of its readings and figures. No value of a meter and no name from a file stands on it;
what the shop writes by hand comes as it was written.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rungwise.quantity import parse
from rungwise.replacement import Weight
from rungwise.report import telling
from rungwise.report.content import CustomerPage, Photo
from rungwise.report.extras import Extras
from rungwise.report.plain_checks import (
    SUBJECTS,
    Stand,
    charge_state,
    rows_of,
    stands_of,
    subject_of,
    subject_of_part,
)
from rungwise.report.plain_faults import (
    fault_told,
    leave_off,
    next_told,
    opens_by_itself,
    part_noun,
    part_told,
)
from rungwise.report.prices import prices_in, total_of
from rungwise.report.worked import Worked
from rungwise.unit import Unit
from rungwise.verification import RUNS_ON, outdoor_looks
from rungwise.wording import joined, mark, say, shaped, typed_told

RUNNING, FIXED_NOT = mark("Your air conditioner is running."), mark("Not fixed yet.")
AGREES = mark("You can run it: nothing that we measured speaks against it.")
LOOK_FURTHER = mark("Next step: we look into it further, and tell you before we change a part.")
LESSER = mark("What is not at its best stands under what to watch.")
UNSEEN = mark("Whether it helped is not measured yet.")

WARNING = mark(
    "Behind the panels of this unit are live parts, and capacitors that stay charged with the "
    "power off. Leave the panels closed. Work inside is for trained persons; follow local codes; "
    "licensed practice where required."
)

CLEARED = 0.01
"""A part that somebody had suspected is called good under this probability, once readings
cleared it."""


def customer_page(worked: Worked, extras: Extras, photos: tuple[Photo, ...] = ()) -> CustomerPage:
    """What the customer is told. Raises BadInput for prices that cannot be read."""
    prices, by_hand = prices_in(extras.prices), extras.by_hand
    stands = stands_of(worked)
    return CustomerPage(
        head=telling.head(worked, extras),
        visit=tuple(_visit(extras)),
        headline=_headline(worked, extras),
        run=_run(worked),
        found=tuple(_found(worked, stands)),
        explained=_explained(worked),
        done=tuple(_done(worked, extras)),
        checked=tuple(rows_of(stands, _air(worked))),
        ran=_ran(worked),
        next_step=tuple(_next_step(worked, extras, stands)),
        watch=(*_watch(worked, stands), *extras.foreseen, *by_hand.watch),
        recommend=by_hand.recommend,
        not_measured=tuple(_not_measured(worked, stands)),
        prices=prices,
        total=total_of(prices),
        warranty=by_hand.warranty,
        next_visit=by_hand.next_visit,
        call_us=_call_us(extras),
        warning=WARNING,
        photos=photos,
        signed=telling.signed(extras),
    )


def _visit(extras: Extras) -> Iterator[tuple[str, str]]:
    told = extras.by_hand
    there = [told.arrived, say("to {hour}", hour=told.left) if told.left else ""]
    yield from (
        (mark("invoice"), told.invoice),
        (mark("on site"), joined(" ", filter(None, there))),
    )


def _call_us(extras: Extras) -> str:
    """Whom to call, where the shop says so."""
    phone = extras.by_hand.phone or extras.phone
    return say("Questions, or if it stops again: call {phone}.", phone=phone) if phone else ""


def _headline(worked: Worked, extras: Extras) -> str:
    proved = worked.proved
    if proved is None:
        return _unproved(worked, extras)
    if proved.proof.standing == "refused":
        return FIXED_NOT
    if not _runs(worked):
        good = mark("What we measured after it is good.") if proved.good else UNSEEN
        return joined(" ", (mark("The work is done."), good))
    if proved.good:
        return RUNNING
    return joined(" ", (RUNNING, mark("The repair is not verified yet.")))


def _unproved(worked: Worked, extras: Extras) -> str:
    """The same where nothing was measured after the work."""
    if worked.answer.verdict.kind == "nothing_wrong_now":
        found = mark("No fault was found on this visit.")
        return joined(" ", (RUNNING, found)) if _runs(worked) else found
    if _worked_on(worked, extras):
        return mark("The work is done. Whether it helped was not measured.")
    if worked.answer.decided:
        return joined(" ", (FIXED_NOT, mark("The cause is found.")))
    return joined(" ", (FIXED_NOT, mark("The cause is not settled.")))


def _worked_on(worked: Worked, extras: Extras) -> bool:
    """Whether something was done, as far as somebody told."""
    return bool(worked.fits or extras.by_hand.done or telling.repaired_names(worked.answer))


def _run(worked: Worked) -> str:
    """Whether to run it: never that it is out of danger."""
    proved, told = worked.proved, worked.answer.verdict
    if proved is None and told.kind == "nothing_wrong_now":
        return AGREES
    if proved is None or proved.proof.standing == "refused":
        return _left_off(worked)
    return AGREES if proved.good else mark("You can run it. Call us if it stops, or does not cool.")


def _left_off(worked: Worked) -> str:
    """What to leave off meanwhile: more than the cooling where that would not stop it."""
    answer, proved = worked.answer, worked.proved
    if proved is not None:
        stops = not any(each.id == RUNS_ON and not each.good for each in proved.proof.checks)
        likeliest = [each.hidden.suspect.id for each in proved.proof.remaining[:1]]
    else:
        seen = {each.card.id: each.value for each in answer.outcomes}
        stops = seen.get(RUNS_ON, "stops") == "stops"
        best = answer.verdict.answer
        likeliest = [best.suspect.id] if best and not answer.witnesses else []
    return leave_off(answer.opened.unit, *likeliest, stops=stops)


def _runs(worked: Worked) -> bool:
    """Whether it was seen to start and to run: by the proof, else on the call."""
    looks = outdoor_looks(worked.answer.opened.unit)
    if worked.proved is not None:
        good = {each.id for each in worked.proved.proof.checks if each.good}
        return bool(looks) and set(looks) <= good
    seen = {each.card.id: each.value for each in worked.answer.outcomes}
    return bool(looks) and all(seen.get(name) == runs for name, runs in looks.items())


def _found(worked: Worked, stands: Iterable[Stand]) -> Iterator[str]:
    answer, unit = worked.answer, worked.answer.opened.unit
    told, best = answer.verdict, answer.verdict.answer
    if answer.witnesses and answer.shortfalls:
        nouns = dict.fromkeys(part_noun(unit, each.found.part) for each in answer.shortfalls)
        yield from (
            say("The {noun} does not do its work as the unit is put together.", noun=noun)
            for noun in nouns
        )
    elif best is None:
        yield mark("What was measured fits none of the faults that we know of such units.")
    elif told.kind == "nothing_wrong_now":
        lesser = any(each.worst != "good" for each in stands)
        yield LESSER if lesser else mark("Everything that we measured read as on a good unit.")
    elif not answer.decided:
        told_small = _small(fault_told(unit, best.suspect.id))
        yield say("The cause is not settled. Most likely: {fault}", fault=told_small)
    else:
        said = fault_told(unit, best.suspect.id)
        shown = told.kind == "found" or told.shown
        yield said if shown else say("Most likely: {fault}", fault=_small(said))
    yield from _cleared(worked, stands)


def _explained(worked: Worked) -> str:
    """What the part at fault is for."""
    answer, unit = worked.answer, worked.answer.opened.unit
    best = answer.verdict.answer
    known = best is not None and best.suspect.part in unit.part_by_name
    if best is None or not known or not answer.decided or answer.witnesses:
        return ""
    return part_told(unit, best.suspect.part)


def _cleared(worked: Worked, stands: Iterable[Stand]) -> Iterator[str]:
    """The part that somebody had suspected, where readings cleared it."""
    told, unit = worked.answer.verdict, worked.answer.opened.unit
    suspected, wrong = worked.answer.call.suspected, worked.answer.verdict.wrong_part
    if suspected not in unit.part_by_name:
        return
    cleared = bool(wrong and wrong.part == suspected and wrong.cleared_by and wrong.now < CLEARED)
    if told.kind == "nothing_wrong_now":
        about = subject_of_part(unit, suspected)
        cleared = any(it.name == about and it.measured and it.worst == "good" for it in stands)
    if cleared:
        noun = part_noun(unit, suspected)
        yield say("The {noun}, which had been suspected, is good by our readings.", noun=noun)


def _done(worked: Worked, extras: Extras) -> Iterator[str]:
    """What was done: in the shop's own words, else what the record says and no more."""
    unit, told = worked.answer.opened.unit, extras.by_hand
    yield from told.done
    fitted = [part for each in worked.fits for part in each.candidate.parts]
    for name in dict.fromkeys(fitted):
        yield say("Installed: a new {noun}.", noun=part_noun(unit, name))
    if not told.done:
        for name in telling.repaired_names(worked.answer):
            if name not in fitted:
                yield _put_right(unit, name)
    if told.refrigerant_added:
        yield say("Refrigerant added: {amount}.", amount=told.refrigerant_added)


def _put_right(unit: Unit, name: str) -> str:
    """A part that the record has as put right, of which nobody wrote what was done to it."""
    noun = part_noun(unit, name)
    if opens_by_itself(unit, name):
        return say("What was done about the {noun} is not written down.", noun=noun)
    return say("Worked on: {noun}.", noun=noun)


def _air(worked: Worked) -> str:
    """How far the air was cooled, as it was typed."""
    table = worked.answer.call.proof
    air = dict(table.data.get("air", {})) if table is not None else {}
    ends = [air.get("return_dry"), air.get("supply_dry")]
    first, last = (typed_told(str(each)) for each in ends)
    return say("{first} in, {last} out", first=first, last=last) if all(ends) else ""


def _ran(worked: Worked) -> str:
    """How long it ran before it was measured."""
    table = worked.answer.call.proof
    told = dict(table.data.get("conditions", {})).get("run_time") if table is not None else None
    if not told:
        return ""
    minutes = f"{parse(str(told), 'min'):g}"
    return say("We ran the unit {minutes} minutes before we measured.", minutes=minutes)


def _next_step(worked: Worked, extras: Extras, stands: Iterable[Stand]) -> Iterator[str]:
    """What comes next where it is not fixed, or not proved; what the shop wrote goes before."""
    told, proved = extras.by_hand.next_step, worked.proved
    then = ""
    if worked.answer.verdict.kind == "nothing_wrong_now" or (proved is not None and proved.good):
        pass
    elif proved is not None and proved.proof.standing == "refused":
        why, then = _against(worked, stands)
        yield from why
    elif proved is not None or _worked_on(worked, extras):
        yield mark("We still have to measure what is listed below as not measured.")
    else:
        then = _not_repaired(worked)
    if told or then:
        yield say("Next step: {step}", step=told) if told else then


def _against(worked: Worked, stands: Iterable[Stand]) -> tuple[list[str], str]:
    """Why the repair does not hold, and what comes next."""
    unit, proof = worked.answer.opened.unit, worked.proved.proof if worked.proved else None
    bad, then = [each for each in stands if each.worst == "not"], ""
    charged = any(each.name == "refrigerant" for each in bad)
    state = charge_state(worked.proved) if charged else None
    why: list[str] = []
    if state:
        why.append(say("{state}. Until that is fixed, the unit may stop again.", state=state[0]))
        then = state[1]
    for each in bad:
        if not (state and each.name in ("refrigerant", "air")):
            why.append(_row(each))
            then = then or each.subject.then
    if proof and not then and proof.remaining:
        likeliest = proof.remaining[0].hidden.suspect.id
        fault = _small(fault_told(unit, likeliest))
        why.append(say("By our readings this may still be so: {fault}", fault=fault))
        then = next_told(unit, likeliest)
    return why, say("Next step: we {then}.", then=then) if then else LOOK_FURTHER


def _not_repaired(worked: Worked) -> str:
    """What comes next where nothing was repaired yet."""
    answer, best = worked.answer, worked.answer.verdict.answer
    if answer.witnesses and answer.shortfalls:
        return mark("Next step: we put it together so that it does its work again.")
    if best is None or not answer.decided:
        return LOOK_FURTHER
    return say("Next step: we {then}.", then=next_told(answer.opened.unit, best.suspect.id))


def _watch(worked: Worked, stands: Iterable[Stand]) -> Iterator[str]:
    """What is not at its best, as far as readings or the wires say so."""
    if worked.proved is None or worked.proved.proof.standing != "refused":
        yield from (_row(each) for each in stands if each.worst in ("watch", "again"))
    left = worked.wires.found.left if worked.wires else None
    if left is not None and not left.passes:
        yield mark("With the wires as they were left, the unit does not do all it should.")
    for each in worked.fits:
        if each.told(Weight.BARS):
            noun = part_noun(worked.answer.opened.unit, each.candidate.parts[0])
            yield say(
                "The {noun} that was installed does not work in this unit and must come out again.",
                noun=noun,
            )


def _not_measured(worked: Worked, stands: Iterable[Stand]) -> Iterator[str]:
    """What this page cannot vouch for, subject by subject."""
    seen = {each.name for each in stands}
    if worked.proved is None and worked.answer.verdict.kind != "nothing_wrong_now":
        yield telling.NOT_PROVED
        return
    unit, table = worked.answer.opened.unit, worked.answer.belief.table
    there = {subject_of(unit, card) for card in table.checks} | {"refrigerant", "air"}
    missing = [SUBJECTS[name].unread for name in SUBJECTS if name in there - seen]
    if missing:
        yield say("We did not measure {things}.", things=joined(", ", missing))


def _row(each: Stand) -> str:
    return say("{subject}: {stand}.", subject=each.subject.title, stand=each.text)


def _small(sentence: str) -> str:
    return shaped(sentence, _lowered)


def _lowered(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]
