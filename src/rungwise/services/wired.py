"""The wires file that a call names: how the wires were left, or where loose ones belong."""

from __future__ import annotations

from rungwise.rewiring import read_wires, recover, rewire
from rungwise.services.beside import beside
from rungwise.services.diagnose import CallDiagnosis
from rungwise.services.recover import RecoverAnswer
from rungwise.services.rewire import RewireAnswer

__all__ = ["WiresAnswer", "wired"]

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
