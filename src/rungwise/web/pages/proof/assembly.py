"""Putting the page that proves a repair together from the records and the desk."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rungwise import records
from rungwise.diagnosis import CheckCard
from rungwise.errors import BadInput, UnknownName
from rungwise.parts import Caution, part_of
from rungwise.records import FOUND, REPAIRED, ProofLine, as_list, is_field, proof_told
from rungwise.services import DiagnosisService, proof_json, strict
from rungwise.unit import Unit
from rungwise.verification import Finding, Proof, StartStep
from rungwise.web.context import written
from rungwise.web.job import Job
from rungwise.web.pages.call.narrative import part_titles
from rungwise.web.pages.call.view import Clash
from rungwise.web.pages.proof.forms import FIELDS
from rungwise.web.pages.proof.results import Ground, ProofResult, cards_of, ground, judged
from rungwise.web.pages.proof.to_take import groups_of
from rungwise.web.pages.proof.view import (
    Figure,
    ProofCard,
    ProofReading,
    RepairLine,
    StartLine,
    ToTake,
    WorthLine,
)
from rungwise.web.prompt import Ask, LeadLine, ask_of
from rungwise.web.reasons import reason_of
from rungwise.web.shown import Heard
from rungwise.wording import joined, mark, say, shaped, time_told

START_UP = "start-up"
"""Under this name the steps of the first start are ticked."""

WORDS = {
    "good": "good", "note": "noted", "caution": mark("look at it"), "refuse": "refused",
    "worthless": mark("says nothing"), "again": mark("read it again"),
}  # fmt: skip

COOLING = ("superheat", "subcooling", "charge", "air split", "total capacity",
           "condensing over the outdoor air", "evaporating temperature", "supply air",
           "gauges")  # fmt: skip


@dataclass(frozen=True)
class ProofRows:
    """Rows of a proof. standing: what stands; told: everything ever; ticks: of the start-up.

    fitted: places of the parts that were fitted.
    """

    standing: Sequence[records.Reading]
    told: Sequence[records.Reading]
    ticks: Sequence[records.Step] = ()
    fitted: Sequence[str] = ()

    @property
    def fields(self) -> dict[str, records.Reading]:
        """The fields that stand, by key."""
        return {row.check: row for row in self.standing if is_field(row.check) and row.typed}


@dataclass(frozen=True)
class ProofState:
    """A job with its proof, ready to be shown. answer: None where there is none; trouble: why."""

    job: Job
    kept: ProofRows
    base: Ground
    cards: Mapping[str, CheckCard]
    answer: ProofResult | None
    trouble: str
    asked: str

    @property
    def proof(self) -> Proof | None:
        """The verdict."""
        return self.answer.proved.proof if self.answer else None

    def plain(self) -> dict[str, Any] | None:
        """What `rungwise prove --json` prints."""
        found: dict[str, Any] | None = (
            strict(proof_json(self.answer.proved)) if self.answer else None
        )
        return found

    def verdict(self) -> dict[str, Any]:
        """The fields of the verdict; nothing in them says that a unit is safe."""
        proof = self.proof
        if proof is None:
            empty: dict[str, Any] = dict.fromkeys(("reasons", "remaining", "look_for"), ())
            return {"standing": "", "headline": "", "whole": False, **empty}
        skipped = 1 if proof.standing == "refused" else 0
        return {
            "standing": proof.standing,
            "headline": proof.headline,
            "whole": proof.whole,
            "reasons": list(proof.reasons[skipped:]),
            "remaining": [each.text for each in proof.remaining],
            "look_for": list(proof.look_for),
        }

    def repaired(self) -> RepairLine:
        """What was repaired, or what the readings advise while nobody said."""
        row = self.kept.fields.get(REPAIRED)
        titles = dict(can_be_repaired(self.job))
        names = (
            as_list(row.typed) if row else as_list(implied(self.job, self.kept).get(REPAIRED, ""))
        )
        return RepairLine(
            names=names, titles=[titles.get(each, each) for each in names], told=row is not None,
            wrong=row.refusal if row else "",
        )  # fmt: skip

    def card(self, first: str) -> ProofCard | None:
        """The check on the card: the one that was chosen, or the first worth making.

        Raises UnknownName for a check that the unit does not have.
        """
        name = self.asked or first
        if not name:
            return None
        if name not in self.cards:
            what = "There is no such check on this unit."
            raise UnknownName(what=what, name=name, known=self.cards)
        stood = self._last().get(name)
        return ProofCard(
            **ask(self.job.unit, self.cards[name]).model_dump(),
            must_read=self.answer.band(name) if self.answer else "",
            is_next=name == first,
            load=self.cards[name].under_load,
            last=self._before(name),
            typed=stood.typed if stood else "",
            wrong=stood.refusal if stood else "",
        )

    def _before(self, check: str) -> str:
        """What it read last: after the repair, else on the call before it; "" for a look."""
        if self.cards[check].choices:
            return ""
        rows = [*self.job.held.standing, *self.kept.standing]
        return next((it.typed for it in reversed(rows) if it.check == check and it.counts), "")

    def worth(self) -> list[WorthLine]:
        """The checks in their order, while each reads as it should."""
        if self.proof is None or self.answer is None:
            return []
        return [
            WorthLine(
                id=each.check.id, title=each.check.title, good_after=each.good_after,
                must_read=self.answer.band(each.check.id),
            )
            for each in self.proof.worth
        ]  # fmt: skip

    def readings(self) -> list[ProofReading]:
        """Every reading after the repair with its verdict and what it comes to."""
        said = {each.id: each for each in self.proof.checks} if self.proof else {}
        found = []
        for row in self._last().values():
            card = self.cards.get(row.check)
            if card is None or not row.typed.strip():
                continue
            verdict = said.get(row.check) if row.counts else None
            shown = written(row, self.job.held.today).model_dump()
            shown["text"] = verdict.text if verdict else row.typed
            found.append(
                ProofReading(
                    **shown, check=row.check, title=card.title, typed=row.typed,
                    must_read=verdict.band if verdict else "",
                    good=verdict.good if verdict else None,
                    figures=[each for each in self.figures() if each.id == row.check],
                    load=card.under_load, ask=ask(self.job.unit, card),
                )
            )  # fmt: skip
        return found

    def _last(self) -> dict[str, records.Reading]:
        """Of each check the row that was taken last."""
        return {row.check: row for row in self.kept.standing}

    def figures(self, *, cooling: bool = False) -> list[Figure]:
        """Figures of electricity against their limits, or those of refrigerant and air."""
        findings = self.proof.findings if self.proof else ()
        return [_figure(each) for each in findings if (each.id in COOLING) == cooling]

    def to_take(self) -> list[ToTake]:
        """Every check that a figure is made of, by what it tells."""
        taken = {row.check for row in self.kept.standing if row.counts}
        return [
            ToTake(
                name=name,
                checks=[(card.id, card.title, card.id in taken) for card in cards],
            )
            for name, cards in groups_of(self.job.unit, self.cards.values()).items()
        ]

    def startup(self) -> list[StartLine]:
        """The first start, with what was ticked."""
        ticks = {(row.number, row.text): row for row in self.kept.ticks}
        before, lines = 0.0, []
        for number, step in enumerate(self.base.startup, start=1):
            tick = ticks.get((number, str(step.what)))
            lines.append(_start_line(number, step, step.time_s - before, tick))
            before = max(step.time_s, 0.0)
        return lines

    def pauses(self) -> list[float]:
        """Seconds before each moment of the first start, below 0 where it comes before it."""
        before, found = 0.0, []
        for step in self.base.startup:
            found.append(-1.0 if step.time_s < 0.0 else step.time_s - before)
            before = max(step.time_s, 0.0)
        return found

    def clashes(self) -> list[Clash]:
        """Answers from stale forms, each with the one that stands."""
        standing = {row.check: row for row in self.kept.standing}
        today = self.job.held.today
        return [
            Clash(
                **written(row, today).model_dump(),
                title=label_of(row.check, self.cards),
                stands=written(standing[row.check], today),
            )
            for row in self.kept.told
            if row.beside and row.superseded_by_id is None and row.check in standing
        ]

    def say(self, saved: str) -> Heard | None:
        """What is told after a reading was kept."""
        line = next((each for each in self.readings() if each.check == saved), None)
        if line is None:
            return None
        words = {True: mark("as it should be."), False: mark("not as it should be.")}
        told = line.wrong or (words[line.good] if line.good is not None else mark("saved."))
        headline = self.proof.headline if self.proof else ""
        text = joined("", (line.title, ": ", line.text, ", ", told, " ", headline))
        return Heard(text=text, good=bool(line.good))


def said_of(job: Job, desk: DiagnosisService, rows: Sequence[records.Reading]) -> list[str]:
    """The verdict on the repair in lines, for the record of the call; empty: nothing was read."""
    if not rows:
        return []
    shown = shown_of(job, desk, ProofRows(rows, rows))
    told = shown.verdict()
    left = [say("Not ruled out: {each}.", each=each) for each in told["remaining"]]
    named = joined(", ", shown.repaired().titles)
    first = [say("Repaired: {parts}.", parts=named)] if named else []
    lines = [each.text for each in shown.figures(cooling=True)]
    verdict = told["headline"] or shown.trouble or mark("Not judged yet: the unit is being solved.")
    return [*first, verdict, *told["reasons"], *left, *lines]


def shown_of(job: Job, desk: DiagnosisService, kept: ProofRows, asked: str = "") -> ProofState:
    """The job with its proof. Whatever cannot be judged is told, and nothing typed is lost."""
    told = [*(ProofLine(*each) for each in _unsaid(job, kept)), *proof_told(list(kept.standing))]
    answer, trouble = None, ""
    if not any(each.check == REPAIRED for each in told):
        trouble = mark("Nobody said yet what was repaired. Choose it below.")
    elif job.at.building is None:
        try:
            answer = judged(job, desk, told)
        except BadInput as error:
            trouble = reason_of(error)
    return ProofState(job, kept, ground(job), cards_of(job.unit), answer, trouble, asked)


def implied(job: Job, kept: ProofRows) -> dict[str, str]:
    """What was repaired while nobody says: the parts fitted, else what was found; or nothing."""
    if kept.fitted:
        return {REPAIRED: ", ".join(dict.fromkeys(kept.fitted))}
    best = job.answer.verdict.answer if job.answer else None
    return {REPAIRED: best.repair, FOUND: best.suspect.id} if best and job.found else {}


def can_be_repaired(job: Job) -> list[tuple[str, str]]:
    """Name and title of all that can have been repaired: what the readings advise first."""
    answer = job.answer
    advised = (answer.verdict.answer, *answer.verdict.runners_up) if answer else ()
    first = [(each.repair, str(each.suspect.to_do)) for each in advised[:4] if each]
    return [*first, *part_titles(job.unit)]


def label_of(check: str, cards: Mapping[str, CheckCard]) -> str:
    """What a check or a field of a proof is called."""
    if check in FIELDS:
        return FIELDS[check].label
    if check in cards:
        return cards[check].title
    return mark("what was repaired") if is_field(check) else check


def ask(unit: Unit, card: CheckCard) -> Ask:
    """The check of a card; those of the proof alone have no reader in the diagnosis."""
    found = ask_of(unit, card)
    if found.leads is None and {card.red, card.black} <= set(unit.terminals()):
        return found.model_copy(update={"leads": _leads(unit, card.red, card.black)})
    return found


def _leads(unit: Unit, red: str, black: str) -> LeadLine:
    ours = [unit.part(part_of(each)).title for each in (red, black)]
    return LeadLine(red=red, red_part=ours[0], black=black, black_part=ours[1], jaw="", off=[])


def _unsaid(job: Job, kept: ProofRows) -> Iterator[tuple[str, str]]:
    if REPAIRED not in kept.fields:
        yield from implied(job, kept).items()


def _figure(each: Finding) -> Figure:
    return Figure(
        id=each.id, level=each.level, word=WORDS[each.level], text=each.text, source=each.source
    )


def _start_line(
    number: int, step: StartStep, wait_s: float, tick: records.Step | None
) -> StartLine:
    caution = step.what if isinstance(step.what, Caution) else None
    done = tick is not None and tick.done
    return StartLine(
        number=number,
        clock=mark("before") if step.time_s < 0.0 else _clock(step.time_s),
        wait=_clock(wait_s) if step.time_s > 0.0 and wait_s >= 0.1 else "",
        what=caution.text if caution else str(step.what),
        watch=shaped(step.watch, _bare),
        caution=caution,
        done=done,
        who=tick.person.name if done and tick and tick.person else "",
        at=time_told(tick.local) if done and tick else "",
    )


def _bare(watch: str) -> str:
    return watch.strip("()")


def _clock(seconds: float) -> str:
    return f"{seconds / 60:.0f} min" if seconds >= 120.0 else f"{seconds:.1f} s"
