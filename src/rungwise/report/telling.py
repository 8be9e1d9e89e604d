"""What both papers of a call say alike: whose it is, what was found, done and not measured.

The page that a call is signed on says it in the same words.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from rungwise.diagnosis import (
    CheckCard,
    Outcome,
    acquittal_lines,
    headline,
    named,
    percent,
    sentence,
)
from rungwise.report.content import Head, Signed
from rungwise.report.extras import Extras
from rungwise.report.plain_checks import SUBJECTS, subject_of
from rungwise.report.worked import Worked
from rungwise.services import CallDiagnosis
from rungwise.unit import VOLT, Unit, volts_told
from rungwise.verification import Proof
from rungwise.wording import joined, mark, say


@dataclass(frozen=True, slots=True)
class Group:
    """What a proof may measure: readings by quantity, setting and subject, and figures by id."""

    name: str
    quantities: frozenset[str] = frozenset()
    figures: frozenset[str] = frozenset()
    settings: frozenset[str] = frozenset({"calling", "apart"})
    subjects: frozenset[str] = frozenset(SUBJECTS)

    def has(self, unit: Unit, card: CheckCard) -> bool:
        """Whether a reading is one of it."""
        told = card.quantity in self.quantities and card.setting in self.settings
        return told and subject_of(unit, card) in self.subjects


GROUPS = (
    Group(mark("supply volts"), frozenset({"volts"}), settings=frozenset({"calling", "standby"}),
          subjects=frozenset({"supply"})),
    Group(mark("motor currents"), frozenset({"amps", "winding_amps"})),
    Group(mark("capacitors at work"), frozenset({"microfarads"})),
    Group(mark("contacts and joints under load"), frozenset({"drop"}),
          subjects=frozenset({"contactor", "wiring"})),
    Group(mark("insulation"), frozenset({"megohms"})),
    Group(mark("refrigerant"), figures=frozenset({"superheat", "subcooling", "charge"})),
    Group(mark("air through the indoor coil"), figures=frozenset({"air split", "total capacity"})),
)  # fmt: skip

PLATE = (
    ("maker", mark("Maker")),
    ("model", mark("Model")),
    ("serial", mark("Serial")),
    ("volt", mark("Volts")),
    ("rla_a", mark("Compressor RLA, A")),
    ("lra_a", mark("Compressor LRA, A")),
    ("fan_fla_a", mark("Fan FLA, A")),
    ("rla_2_a", mark("Second compressor RLA, A")),
    ("lra_2_a", mark("Second compressor LRA, A")),
    ("blower_fla_a", mark("Blower FLA, A")),
    ("heat_kw", mark("Electric heat, kW")),
    ("herm_uf", mark("Capacitor HERM, µF")),
    ("fan_uf", mark("Capacitor FAN, µF")),
    ("mca_a", mark("MCA, A")),
    ("mocp_a", mark("MOCP, A")),
    ("refrigerant", mark("Refrigerant")),
)
"""What of the nameplate stands at the head of a paper."""

NOT_PROVED = mark("Nothing was measured after the work that shows that the unit runs right.")
NOT_DEAD = mark("Lockout: nothing was checked off or measured in this record.")
WIRES_NOT_LEFT = mark("The wires as left were not written down, and not checked.")
MOST_OPEN = 8


def head(worked: Worked, extras: Extras) -> Head:
    """Whose call it is, on which unit."""
    call, unit = worked.answer.call, worked.answer.opened.unit
    plate = unit.nameplate
    technician = (call.technician,) if call.technician else ()
    return Head(
        shop=extras.shop or _shop_by_hand(extras),
        title=call.title or "Service call",
        day=call.date.isoformat() if call.date else "",
        unit=unit.title or unit.name,
        place=extras.place or str(plate.get("address", "")),
        customer=call.customer,
        technician=call.technician,
        people=tuple(dict.fromkeys((*technician, *extras.people))),
        plate=tuple(
            (label, volts_told(plate) if key == VOLT else _plain(plate[key]))
            for key, label in PLATE
            if plate.get(key)
        ),
    )


def _shop_by_hand(extras: Extras) -> tuple[str, ...]:
    """The shop's own lines where no records have them."""
    told = extras.by_hand
    license_told = f"License {told.license}" if told.license else ""
    return tuple(filter(None, (told.shop, license_told, told.phone)))


def cause_told(answer: CallDiagnosis) -> tuple[str, ...]:
    """The cause in a sentence or two, or that it is not decided."""
    told, best = answer.verdict, answer.verdict.answer
    if answer.witnesses and answer.shortfalls:
        return tuple(each.line() for each in answer.shortfalls)
    if best is None:
        return ("None of the faults that this unit can have fits what was read.",)
    if told.kind == "nothing_wrong_now":
        return (headline(told), *acquittal_lines(told))
    name, likely = named(best), percent(best.probability)
    behind = (
        (say("What brings it about: {behind}.", behind=best.suspect.behind),)
        if best.suspect.behind
        else ()
    )
    if told.kind == "suspected":
        return (headline(told), *behind, *_owed(answer))
    if not answer.decided:
        how = (
            mark("Not settled by readings.")
            if answer.advice.stop
            else mark("Still narrowing it down.")
        )
        likeliest = say("Most likely by the readings: {name} ({likely}).", name=name, likely=likely)
        return (joined(" ", (how, likeliest)),)
    return (sentence(say("{name} ({likely} by the readings)", name=name, likely=likely)), *behind)


def _owed(answer: CallDiagnosis) -> tuple[str, ...]:
    """The readings that come before the repair, or that were not made before it."""
    told, late = answer.verdict, bool(repaired(answer))
    cards = ([told.confirm.check] if told.confirm else []) + list(told.first)
    titles = joined("; ", dict.fromkeys(card.title for card in cards))
    word = mark("Not read before the repair") if late else mark("To read before the repair")
    again = mark("Odd, and not taken again") if late else mark("Odd, to be taken again")
    lines: tuple[str, ...] = (sentence(joined(": ", (word, titles))),) if titles else ()
    if told.again:
        lines += (sentence(joined(": ", (again, told.again.check.title))),)
    return lines


def work_told(answer: CallDiagnosis, parts: Iterable[str]) -> tuple[str, ...]:
    """What was repaired and fitted, as it was told; else what the readings ask for.

    parts: those that were fitted, as `fitted_told` words them.
    """
    told = [say("Repaired, as told: {each}.", each=each) for each in repaired(answer)]
    told += [say("Fitted: {each}.", each=each) for each in parts]
    best = answer.verdict.answer
    if not told and best is not None and answer.decided:
        word = mark("After these readings") if _owed(answer) else mark("To do")
        told.append(
            say(
                "Nothing is written down as done. {word}: {sentence}",
                word=word,
                sentence=sentence(str(best.suspect.to_do)),
            )
        )
    return tuple(told)


def fitted_told(unit: Unit, name: str, parts: Sequence[str]) -> str:
    """A part that was fitted, and in place of what. name: what stands on it."""
    return say(
        "{name}, in place of the {join}",
        name=name,
        join=joined(", ", (title_of(unit, each) for each in parts)),
    )


def repaired(answer: CallDiagnosis) -> tuple[str, ...]:
    """What the proof says was repaired, by title where it is a part or a wire."""
    return tuple(title_of(answer.opened.unit, each) for each in repaired_names(answer))


def repaired_names(answer: CallDiagnosis) -> tuple[str, ...]:
    """The same by their names in the unit."""
    table = answer.call.proof
    return table.strings("repaired", default=()) if table is not None else ()


def unread(title: str, typed: str) -> str:
    """A reading that cannot be used, as it was typed."""
    return say("{title}: {typed} (cannot be used)", title=title, typed=typed)


def not_made(title: str, note: str) -> str:
    """A check that could not be made. note: what somebody said of it."""
    told = say("{title}: could not be made", title=title)
    return _ended(joined(" ", (told, say("({note})", note=note))) if note else told)


def making_dead_told(zone: str, missing: Sequence[str]) -> Iterator[str]:
    """What was not measured of making a zone dead."""
    return _some(say("Lockout, {zone}", zone=zone), missing)


def standing(proof: Proof) -> tuple[str, ...]:
    """The verdict on the repair with its reasons, as `rungwise prove` gives it."""
    skipped = 1 if proof.standing == "refused" else 0
    return (proof.said, *(sentence(it) for it in proof.reasons[skipped:]))


def not_measured(worked: Worked, extras: Extras) -> tuple[str, ...]:
    """Everything that a record cannot vouch for."""
    return tuple(dict.fromkeys(_not_measured(worked, extras)))


def signed(extras: Extras) -> Signed:
    """How it was signed."""
    return Signed(extras.told, extras.signed_by, extras.received_by)


def _not_measured(worked: Worked, extras: Extras) -> Iterator[str]:
    yield from (_not_taken(each) for each in worked.answer.outcomes if each.value is None)
    yield from extras.unread
    yield from worked.troubles
    if worked.proved is None:
        yield NOT_PROVED
    else:
        yield from _not_proved(worked, worked.proved.proof)
    for zone in extras.zones:
        yield from making_dead_told(zone.title, zone.open)
    if not extras.zones:
        yield NOT_DEAD
    if worked.fits and (worked.wires is None or worked.wires.found.left is None):
        yield WIRES_NOT_LEFT


def _not_proved(worked: Worked, proof: Proof) -> Iterator[str]:
    unit = worked.answer.opened.unit
    cards = {card.id: card for card in worked.answer.belief.table.checks}
    told = [cards[each.id] for each in proof.checks if each.id in cards]
    figures = {each.id for each in proof.findings}
    missing = [
        group.name
        for group in GROUPS
        if not group.figures & figures and not any(group.has(unit, card) for card in told)
    ]
    if missing:
        yield say("Not measured after the work: {join}.", join=joined(", ", missing))
    if proof.remaining and proof.standing != "proved":
        yield say(
            "Not ruled out: {join}.", join=joined("; ", (each.text for each in proof.remaining))
        )
    yield from _some(mark("Still worth measuring"), [each.check.title for each in proof.worth])


def _some(front: str, texts: Sequence[str]) -> Iterator[str]:
    yield from (_ended(joined(": ", (front, each))) for each in texts[:MOST_OPEN])
    if len(texts) > MOST_OPEN:
        yield say("{front}: {count} more.", front=front, count=len(texts) - MOST_OPEN)


def _ended(text: str) -> str:
    return text if text.endswith("?") else say("{text}.", text=text)


def _not_taken(outcome: Outcome) -> str:
    return not_made(outcome.card.title, outcome.note)


def title_of(unit: Unit, name: str) -> str:
    """What a part or a wire is called, the name itself where it is neither."""
    if name in unit.part_by_name:
        return unit.part(name).title
    return unit.wire_title(unit.wire_by_name[name]) if name in unit.wire_by_name else name


def _plain(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
