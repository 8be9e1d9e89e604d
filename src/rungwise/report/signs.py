"""Texts made fit to print: signs that the fonts have, and where a line may end."""

from __future__ import annotations

import re
import unicodedata
from typing import Any

LACKING = "\N{WHITE SQUARE}"
"""Stands for a sign that none of the paper's fonts has."""

LONGEST = 18
"""Letters after which a word may be broken anywhere; a column holds a few more."""

PIECE = 10

_COVERED = (
    (0x20, 0x7E), (0xA0, 0x377), (0x37A, 0x37F), (0x384, 0x3FF), (0x400, 0x4FF),
    (0x1E00, 0x1EFF), (0x2010, 0x2027), (0x2030, 0x2040), (0x2044, 0x2052),
    (0x2070, 0x2071), (0x2074, 0x208E), (0x2090, 0x209C), (0x20A0, 0x20BF), (0x2100, 0x211E),
    (0x2126, 0x214B), (0x2150, 0x2151), (0x2153, 0x2184), (0x2190, 0x23FF), (0x2500, 0x25FF),
)  # fmt: skip
"""Signs of the fonts that come with the typesetter (Libertinus Serif first), as tried out."""

_UNIT = re.compile(
    r"(?<=\d) (?=(?:[GMkmµ]?(?:Ω|V|A|W|F|Hz|Pa)|°[CF]|%|s|min|h|K|psi|cfm|m³/h|m|ft)(?!\w))"
)
"""The gap between a number and its unit, where no line may end."""

_LONG = re.compile(rf"[^\s\u200b]{{{LONGEST},}}")


def printable(text: str) -> str:
    """The text in signs that the fonts have, units kept by their numbers; else `LACKING`."""
    whole = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\t", " "))
    kept = "".join(_sign(each) for each in whole if each == "\n" or not _control(each))
    return _LONG.sub(_breakable, _UNIT.sub("\N{NO-BREAK SPACE}", kept))


def printable_in(value: Any) -> Any:
    """The same for every text in plain values."""
    if isinstance(value, str):
        return printable(value)
    if isinstance(value, dict):
        return {key: printable_in(each) for key, each in value.items()}
    return [printable_in(each) for each in value] if isinstance(value, list | tuple) else value


def _control(sign: str) -> bool:
    return unicodedata.category(sign) in ("Cc", "Cf", "Cs")


def _sign(sign: str) -> str:
    code = ord(sign)
    covered = sign == "\n" or any(low <= code <= high for low, high in _COVERED)
    return sign if covered and unicodedata.category(sign) != "Cn" else LACKING


def _breakable(found: re.Match[str]) -> str:
    word = found[0]
    return "\u200b".join(word[at : at + PIECE] for at in range(0, len(word), PIECE))
