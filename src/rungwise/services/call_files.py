"""The files that a call names beside its own: the part that was fitted, and its wires."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rungwise.files import Table
from rungwise.replacement import Candidate, read_candidate, read_candidates
from rungwise.rewiring import read_wires, recover, rewire
from rungwise.services.diagnose import CallDiagnosis
from rungwise.services.fit import Fitting, fitting
from rungwise.services.recover import RecoverAnswer
from rungwise.services.rewire import RewireAnswer
from rungwise.unit import Unit
from rungwise.wording import joined, mark, say


def beside(table: Table, key: str) -> Path:
    """The file that `key` names, as seen from the file that the table stands in.

    Raises the document's error where it was not read from a file: a text that came from elsewhere
    must not choose which files of this machine are opened.
    """
    document = table.document
    if not Path(document.file).is_file():
        raise table.bad(
            key,
            what=mark("Only a call that is a file itself can name a file beside it."),
            value=str(table.value(key)),
            next_step=mark("write down here what that file says"),
        )
    return Path(document.file).parent / table.text(key)


@dataclass(frozen=True)
class CallPart:
    """The answer about it. beside: what the readings speak for, where that is another part."""

    found: Fitting
    beside: str = ""

    @property
    def served(self) -> bool:
        """Whether it serves in the unit."""
        return self.found.served

    def as_json(self) -> dict[str, Any]:
        """The same as plain values."""
        return {**self.found.as_json(), "beside": self.beside or None}


def fitted_part(answer: CallDiagnosis) -> CallPart | None:
    """The answer about the call's `[fitted]`, None where there is none.

    Raises BadCallFile or BadCandidateFile for a candidate that cannot be used.
    """
    table = answer.call.fitted
    if table is None:
        return None
    candidate = candidate_of(table, answer.opened.unit)
    return CallPart(fitting(answer.opened.unit, [candidate]), _beside(answer, candidate))


def candidate_of(table: Table, unit: Unit) -> Candidate:
    """The candidate itself, or the one of that name in a file beside the call's.

    Raises BadCallFile, and BadCandidateFile for the file.
    """
    if "file" not in table:
        return read_candidate(table, unit)
    name = table.text("name")
    file = beside(table, "file")
    table.done()
    held = {each.name: each for each in read_candidates(file, unit)}
    if name not in held:
        raise table.bad(
            "name",
            what=mark("The candidate file names no such part."),
            value=name,
            allowed=", ".join(held),
            next_step=mark("write one of its names"),
        )
    return held[name]


def _beside(answer: CallDiagnosis, candidate: Candidate) -> str:
    best = answer.verdict.answer
    if best is None or not answer.decided or best.suspect.part in candidate.parts:
        return ""
    return say(
        "the readings speak for {title}, and this part is for another place: {join}.",
        title=best.suspect.title,
        join=joined(", ", candidate.parts),
    )


WiresAnswer = RewireAnswer | RecoverAnswer


def wired(answer: CallDiagnosis) -> WiresAnswer | None:
    """The answer about the call's wires file; None where it names none.

    Raises BadWiresFile for a file that cannot be used, BadCallFile where none can be named.
    """
    call, unit = answer.call, answer.opened.unit
    if not call.wires:
        return None
    record = read_wires(beside(call.document.root, "wires"), unit)
    if record.loose:
        return RecoverAnswer(recover(unit, record))
    return RewireAnswer(rewire(unit, record))
