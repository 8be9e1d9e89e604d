"""Where a table of the code comes from, kept beside its numbers."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["CodeSource"]


@dataclass(frozen=True, slots=True)
class CodeSource:
    """Clause and edition of a rule or table, where it was seen, and how sure that is.

    sure: "seen" in a public copy or secondary source, or "memory": to be confirmed in the code.
    """

    clause: str
    edition: str
    seen_in: str
    sure: str = "seen"

    @property
    def text(self) -> str:
        """In one phrase: "NEC 440.32, 2023"; what comes from memory says so."""
        told = f"{self.clause}, {self.edition}" if self.edition else self.clause
        return told if self.sure == "seen" else f"{told}; check your own copy"
