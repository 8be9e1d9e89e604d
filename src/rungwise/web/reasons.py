"""Why something cannot be used, as a page says it."""

from __future__ import annotations

from rungwise.diagnosis import sentence
from rungwise.errors import BadInput
from rungwise.wording import joined, say


def reason_of(error: BadInput) -> str:
    """In whole sentences and without a file's line: what is wrong, what is allowed, what to do."""
    allowed = say("Allowed: {allowed}.", allowed=error.allowed) if error.allowed else ""
    step = sentence(error.next_step) if error.next_step else ""
    return joined(" ", [each for each in (error.what, allowed, step) if each])
