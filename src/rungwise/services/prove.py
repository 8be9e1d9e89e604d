"""The proof of a call's repair, worked out once for printing, pages and JSON."""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.diagnosis import Call, FaultTable, ReadingModel
from rungwise.errors import BadCallFile
from rungwise.faults import SuspectSet
from rungwise.files import Table
from rungwise.services.as_json import unit_json
from rungwise.services.input_files import UnitSource, open_call
from rungwise.services.results import FindingResult, RepairProofResult, WorthResult
from rungwise.services.runtime.progress import Watching, unwatched
from rungwise.services.runtime.table_store import fault_table
from rungwise.verification import (
    Finding,
    Proof,
    StartStep,
    Worth,
    proof_cards,
    prove,
    startup,
    told_of,
)
from rungwise.wording import mark


@dataclass(frozen=True)
class RepairProof:
    """A call's repair with its proof, and the start-up to watch."""

    call: Call
    opened: UnitSource
    proof: Proof
    startup: tuple[StartStep, ...]

    @property
    def good(self) -> bool:
        """Whether the repair is proved."""
        return self.proof.standing == "proved"


def proved(name: str, watching: Watching = unwatched) -> RepairProof:
    """The proof of the call in the file `name`. Raises BadInput for what cannot be used."""
    call, opened = open_call(name)
    _told_of_a_repair(call)
    return proved_of(call, opened, fault_table(opened, watching))


def proved_of(call: Call, opened: UnitSource, table: FaultTable | ReadingModel) -> RepairProof:
    """The proof of a call on the unit that was opened, by that unit's fault table or its model.

    Raises BadCallFile, BadReading, UnknownName for what cannot be used.
    """
    told = _told_of_a_repair(call)
    unit = opened.unit
    held = table.table if isinstance(table, ReadingModel) else table
    measured = told_of(told, unit, proof_cards(unit, held))
    weights = dict(call.own.by_suspect) if call.own else None
    proof = prove(SuspectSet(unit, weights), table, measured)
    return RepairProof(call, opened, proof, startup(unit))


def proof_json(answer: RepairProof) -> RepairProofResult:
    """The same as plain values, with every figure."""
    proof = answer.proof
    return {
        "call": {"title": answer.call.title, "unit": unit_json(answer.opened.unit)},
        "verdict": {
            "kind": proof.standing,
            "text": proof.headline,
            "good": proof.good,
            "whole": proof.whole,
            "reasons": list(proof.reasons),
        },
        "remaining": [
            {
                "suspect": each.hidden.suspect.id,
                "title": each.hidden.suspect.title,
                "why": each.hidden.why,
                "before": each.hidden.chance,
                "chance": each.chance,
            }
            for each in proof.remaining
        ],
        "readings": [
            {
                "id": it.id,
                "title": it.title,
                "text": it.text,
                "band": it.band,
                "good": it.good,
                "level": it.level,
            }
            for it in proof.checks
        ],
        "unseen": [
            {
                "name": it.sight.name,
                "checks": list(it.sight.checks),
                "needed": it.sight.needed,
                "asked": it.sight.asked,
                "withholds": it.withholds,
                "why": it.why,
            }
            for it in proof.unseen
        ],
        "findings": [_finding(each) for each in proof.findings],
        "worth": [_worth(each) for each in proof.worth],
        "look_for": list(proof.look_for),
        "startup": [
            {
                "time_s": each.time_s,
                "call": each.call,
                "what": str(each.what),
                "watch": each.watch,
            }
            for each in answer.startup
        ],
    }


def _finding(each: Finding) -> FindingResult:
    return {
        "id": each.id,
        "value": each.value,
        "unit": each.unit,
        "level": each.level,
        "text": each.text,
        "source": each.source,
    }


def _worth(each: Worth) -> WorthResult:
    card = each.check
    return {
        "check": card.id,
        "title": card.title,
        "where": card.where,
        "condition": card.condition,
        "live": card.live,
        "cautions": [str(each) for each in card.cautions],
        "bits": each.bits,
        "good_after": each.good_after,
        "needed": each.needed,
    }


def _told_of_a_repair(call: Call) -> Table:
    if call.proof is None:
        raise BadCallFile(
            what=mark("This call tells of no repair to test."),
            file=call.document.file,
            allowed="a table [proof] with what was repaired and what was measured after it",
            next_step=mark('add [proof] with repaired = ["capacitor"], and [[proof.readings]]'),
        )
    return call.proof
