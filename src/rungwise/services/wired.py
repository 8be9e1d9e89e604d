"""The wires file that a call names: how the wires were left, or where loose ones belong."""

from __future__ import annotations

from rungwise.rewiring import read_wires, recover, rewire
from rungwise.services import recovering, rewiring
from rungwise.services.answering import Answered
from rungwise.services.beside import beside

__all__ = ["Wired", "wired"]

Wired = rewiring.Answer | recovering.Answer


def wired(answer: Answered) -> Wired | None:
    """The answer about the call's wires file; None where it names none.

    Raises BadWiresFile for a file that cannot be used, BadCallFile where none can be named.
    """
    call, unit = answer.call, answer.opened.unit
    if not call.wires:
        return None
    record = read_wires(beside(call.document.root, "wires"), unit)
    if record.loose:
        return recovering.Answer(recover(unit, record))
    return rewiring.Answer(rewire(unit, record))
