"""A call worked through once for all its papers: cause, proof, wires and the part fitted."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import takewhile

from rungwise.diagnosis import ReadingModel
from rungwise.replacement import Fit
from rungwise.report.extras import Extras
from rungwise.services import (
    CallDiagnosis,
    RepairProof,
    RewireAnswer,
    Watching,
    answer_of,
    fault_table,
    fitted_part,
    open_call,
    proved_of,
    unwatched,
    wired,
)


@dataclass(frozen=True)
class Worked:
    """What a call amounts to. proved: None where nothing was measured after the work.

    wires: None where none were written down, or where loose ones are still being found. fits: the
    parts fitted, judged in this circuit. troubles: what could not be worked out, and why.
    """

    answer: CallDiagnosis
    proved: RepairProof | None = None
    wires: RewireAnswer | None = None
    fits: tuple[Fit, ...] = ()
    troubles: tuple[str, ...] = ()


def worked_file(name: str, watching: Watching = unwatched) -> Worked:
    """The call in the file `name`. Raises BadInput for what cannot be used."""
    call, opened = open_call(name)
    model = ReadingModel(fault_table(opened, watching))
    answer = answer_of(call, opened, model)
    part, wires = fitted_part(answer), wired(answer)
    return Worked(
        answer=answer,
        proved=proved_of(call, opened, model) if call.proof else None,
        wires=wires if isinstance(wires, RewireAnswer) else None,
        fits=tuple(each for fits in part.found.by_part.values() for each in fits) if part else (),
    )


def file_extras(worked: Worked, prices: str = "") -> Extras:
    """What else a file tells: the comment on top, which the records keep as the note, its paper.

    prices: lines of the bill in place of those in the file.
    """
    head = takewhile(
        lambda line: line.startswith("#"), worked.answer.call.document.text.splitlines()
    )
    note = "\n".join(line.removeprefix("#").strip() for line in head)
    paper = worked.answer.call.paper
    return Extras(note=note, prices=prices or "\n".join(paper.prices), by_hand=paper)
