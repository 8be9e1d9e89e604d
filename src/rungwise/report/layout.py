"""How a paper is laid out: its size, and the units that it is told in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rungwise.wording import Language, System

Size = Literal["letter", "a4"]
SIZES: tuple[Size, ...] = ("letter", "a4")

Kind = Literal["customer", "technician", "practice"]
KINDS: tuple[Kind, ...] = ("customer", "technician", "practice")


@dataclass(frozen=True)
class Layout:
    """Size, units and language of a paper; a language is for the customer's page alone."""

    size: Size = "letter"
    units: System = "us"
    language: Language = "en"
