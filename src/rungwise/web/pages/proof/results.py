"""The proof of a call's repair, worked out once for the same readings and kept at hand."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from rungwise.diagnosis import Belief, Call, CheckCard, checks_of
from rungwise.errors import BadInput
from rungwise.faults import SuspectSet
from rungwise.records import COOLING, REPAIRED, ProofLine, as_list, proof_values, table_of
from rungwise.services import (
    RESULTS,
    DiagnosisService,
    RepairProof,
    UnitSource,
    call_from_values,
    elsewhere,
)
from rungwise.unit import Unit
from rungwise.verification import (
    REFRIGERANTS,
    SECONDS,
    GoodBand,
    GoodUnit,
    MoistAir,
    ReadingLimits,
    StartStep,
    Told,
    bands_of,
    belief_after,
    cooling,
    hidden_behind,
    limits_by_model,
    limits_by_trade,
    model_band_text,
    own_checks,
    prove,
    repairs_named,
    saturation_c,
    seconds_card,
    startup,
    told_of,
)
from rungwise.web.job import Job
from rungwise.web.pages.call.assembly import own_of
from rungwise.web.reasons import reason_of
from rungwise.wording import mark

NAME = "refrigerant.name"

_grounds = RESULTS.shelf("first starts")
_judged = RESULTS.shelf("proofs")


@dataclass(frozen=True)
class Ground:
    """What every proof of a unit stands on, whatever was repaired."""

    unit: Unit
    startup: tuple[StartStep, ...]

    @cached_property
    def suspects(self) -> SuspectSet:
        """Everything that can be at fault."""
        return SuspectSet(self.unit)

    @cached_property
    def good(self) -> GoodUnit:
        """The unit solved well."""
        return GoodUnit(self.suspects)

    @cached_property
    def bands(self) -> dict[str, GoodBand]:
        """What checks read on a good unit by the trade's limits, in any weather."""
        return bands_of(self.good, {})


@dataclass(frozen=True)
class ProofResult:
    """A proof with the readings it was made of. start: the belief before the first of them.

    trouble: why refrigerant and air were left out, "" where they were not.
    """

    proved: RepairProof
    start: Belief
    ground: Ground
    trouble: str = ""

    def limits(self, check: str) -> ReadingLimits | None:
        """What a reading is judged by when it is the first, None where nobody can say."""
        card = next((each for each in self.start.table.checks if each.id == check), None)
        if check in self.ground.bands and not (card and card.choices):
            return limits_by_trade(self.ground.bands[check])
        return limits_by_model(self.start, card) if card else None

    def band(self, check: str) -> str:
        """What a check must read on a good unit, "" where nobody can say."""
        if check in self.ground.bands:
            return self.ground.bands[check].text
        card = next((each for each in self.start.table.checks if each.id == check), None)
        return model_band_text(self.start, card) if card else ""


@RESULTS.shelf("checks of a proof").per_unit
def cards_of(unit: Unit) -> dict[str, CheckCard]:
    """Every check that a proof of this unit may name, by id, before its faults are solved too."""
    checks = (*own_checks(unit), *checks_of(unit))
    return {SECONDS: seconds_card()} | {each.card.id: each.card for each in checks}


def ground(job: Job) -> Ground:
    """What the proof of a call's unit stands on."""
    return _grounds.get(job.mark, lambda: _ground(job.unit))


def ground_ahead(job: Job) -> None:
    """Begin with what the proof will stand on, and do not wait."""
    _grounds.ahead(job.mark, lambda: _ground(job.unit))


def judged(job: Job, desk: DiagnosisService, told: Sequence[ProofLine]) -> ProofResult:
    """The proof that these readings give; without refrigerant and air where those cannot be used.

    told: with what was repaired among it. Raises BadInput, and whatever building a table raised.
    """
    own = own_of(job.held, job.unit)
    key = (job.mark, own, *told)
    found = _judged.get(key, lambda: _made(job, desk, told))
    call = replace(found.proved.call, title=job.held.call.title)
    return replace(found, proved=replace(found.proved, call=call))


def told_by(unit: Unit, told: Sequence[ProofLine]) -> Told:
    """What the engine takes from these lines. Raises BadInput."""
    call = _call(unit, told)
    if call.proof is None:
        return Told(repaired=())
    return told_of(call.proof, unit, cards_of(unit))


def _call(unit: Unit, told: Sequence[ProofLine]) -> Call:
    proof = proof_values(told)
    return call_from_values({"unit": unit.name, **({"proof": proof} if proof else {})}, unit)


def cooling_text(unit: Unit, told: Sequence[ProofLine]) -> tuple[str, str]:
    """Level and words of what refrigerant and air say, for a field that was just left."""
    found, _ = cooling(told_by(unit, told))
    off = any(each.level in ("refuse", "again", "caution", "worthless") for each in found)
    return ("doubt" if off else "fine"), " ".join(each.text for each in found)


def cooling_trouble(told: Sequence[ProofLine], error: BadInput) -> str:
    """Why refrigerant and air cannot be worked out, in the words of the form."""
    if error.key == f"proof.{NAME}" and NAME not in {each.check for each in told}:
        return mark("Choose the refrigerant: the nameplate in these records does not tell it.")
    return reason_of(error)


def warm_up() -> threading.Thread:
    """Load what reckons refrigerant and air, which takes seconds, while nobody waits for it."""
    thread = threading.Thread(target=_warm, name="warm-up", daemon=True)
    thread.start()
    return thread


def _warm() -> None:
    MoistAir.of(25.0, 18.0)
    for name in REFRIGERANTS:
        saturation_c(name, 120.0, "dew")


def _ground(unit: Unit) -> Ground:
    return Ground(unit, elsewhere(startup, unit))


def _made(job: Job, desk: DiagnosisService, told: Sequence[ProofLine]) -> ProofResult:
    try:
        return _proved(job, desk, told)
    except BadInput as error:
        rest = [each for each in told if table_of(each.check) not in COOLING]
        if len(rest) == len(told):
            raise
        return replace(_proved(job, desk, rest), trouble=cooling_trouble(told, error))


def _proved(job: Job, desk: DiagnosisService, told: Sequence[ProofLine]) -> ProofResult:
    unit, base = job.unit, ground(job)
    taken = told_by(unit, told)
    names = next(as_list(each.typed) for each in told if each.check == REPAIRED)
    own = own_of(job.held, unit)
    suspects = base.suspects.weighted(dict(own.by_suspect)) if own else base.suspects
    hidden = hidden_behind(suspects, repairs_named(suspects, names), taken.found)
    model = desk.model(unit)
    proof = prove(suspects, model, taken, base.good)
    proved = RepairProof(_call(unit, told), UnitSource(unit, None), proof, base.startup)
    return ProofResult(proved, belief_after(model, hidden), base)
