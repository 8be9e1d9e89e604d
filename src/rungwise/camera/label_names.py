"""How plates and labels name their lines, and what may stand behind each name."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

__all__ = ["DUAL", "MISREAD", "NAMES", "REFRIGERANT", "UF", "LabelName", "Value"]


@dataclass(frozen=True)
class Value:
    """What was read of a line. text: as a person would type it. start, end: where it stands.

    why: what makes it unsure by itself: a letter read where a digit belongs.
    """

    text: str
    start: int
    end: int
    why: str = ""


Reader = Callable[[str], Value | None]


@dataclass(frozen=True)
class LabelName:
    """A line's name. pattern: how it is printed. read: what may stand behind it.

    """

    key: str
    pattern: re.Pattern[str]
    read: Reader


_DIGIT = "0-9OoIlSB"
_LIKE_DIGITS = str.maketrans({"O": "0", "o": "0", "I": "1", "l": "1", "S": "5", "B": "8"})
MOST_UF = 120.0
MISREAD = "a letter stands where a digit belongs"


def number(most_digits: int = 3, units: str = "", *, decimals: bool = True) -> Reader:
    """Reads a number, with one of the units behind it or none."""
    fraction = rf"(?:\s?[.,]\s?[{_DIGIT}]{{1,2}})?" if decimals else ""
    pattern = re.compile(
        rf"[\s:=.#-]*([{_DIGIT}]{{1,{most_digits}}}{fraction})(?![{_DIGIT}.,/+-]*[{_DIGIT}])"
        + (rf"\s?(?:{units})?" if units else "")
        + r"(?![A-Za-z])",
        re.IGNORECASE,
    )
    return _reader(pattern, lambda found: found[1])


def _reader(pattern: re.Pattern[str], told: Callable[[re.Match[str]], str]) -> Reader:
    def read(text: str) -> Value | None:
        found = pattern.match(text)
        return _value(told(found), found.start(1), found.end()) if found else None

    return read


def _value(raw: str, start: int, end: int) -> Value | None:
    plain = re.sub(r"\s", "", raw).replace(",", ".").translate(_LIKE_DIGITS)
    if not any(each.isdigit() for each in raw):
        return None
    changed = plain != re.sub(r"\s", "", raw).replace(",", ".")
    return Value(plain, start, end, MISREAD if changed else "")


_VOLT = r"(1[12][05]|20[08]|2[234]0|265|277|380|400|415|440|460|480|575)"
_VOLTS = re.compile(rf"[\s:=.-]*({_VOLT}(?:\s?[/-]\s?{_VOLT})?)(?![0-9])\s?(?:VAC|V|VOLTS)?", re.I)
_PHASE = re.compile(r"[\s:=.-]*([13lI])(?![0-9.])\s?(?:PH|Ø|PHASE)?")
_PHASE_WORD = re.compile(r"[\s:=.-]*(SINGLE|THREE)", re.I)
_HERTZ = re.compile(r"[\s:=.-]*([56][0O])(?![0-9.])\s?(?:HZ|HERTZ|CY)?", re.I)
_CODE = re.compile(r"[\s:=.#-]*((?=[A-Z0-9/ -]*[0-9])[A-Z0-9]{1,}(?:[-/. ]?[A-Z0-9]+){0,7})", re.I)
_DATE = re.compile(
    r"[\s:=.-]*((?:0?[1-9]|1[0-2])\s?[/-]\s?(?:(?:19|20)[0-9]{2}|[0-9]{2})|(?:19|20)[0-9]{2}\s?[/-]\s?"
    r"(?:0[1-9]|1[0-2])|(?:19|20)[0-9]{2})(?![0-9/-])"
)
REFRIGERANT = re.compile(
    r"\bR\s?[-–—]?\s?(41[0O]A|4[0O]7C|22|32|454B|134A|452B)(?![A-Z0-9])", re.I
)  # fmt: skip
_HP = re.compile(r"[\s:=.-]*([0-9]{1,2}\s?/\s?[0-9]{1,2}|[0-9]?[.][0-9]{1,2}|[1-9])(?![0-9/.])\s?(?:HP)?", re.I)
_UF = r"(?:[µμu]\s?F|MFD|MF|UFD)"
DUAL = re.compile(
    rf"(?<![0-9.])([0-9]{{2}}(?:[.,][0-9])?)\s?[/+]\s?([0-9]{{1,2}}(?:[.,][0-9])?)(?=\s?(?:{_UF}|MFD)|\s|$)"
    rf"(?:\s?({_UF}))?", re.I,
)  # fmt: skip
UF = re.compile(rf"(?<![0-9./+])([0-9]{{1,3}}(?:[.,][0-9]{{1,2}})?)\s?{_UF}(?![A-Z])", re.I)


def dual_of(text: str) -> Value | None:
    """Both sections of a dual capacitor, "45+5", where a text begins with them."""
    found = DUAL.match(text.lstrip(" :=.-"))
    if found is None or float(found[1].replace(",", ".")) <= float(found[2].replace(",", ".")):
        return None
    lead = len(text) - len(text.lstrip(" :=.-"))
    both = f"{found[1]}+{found[2]}".replace(",", ".")
    return Value(both, lead + found.start(1), lead + found.end())


def _volts(text: str) -> Value | None:
    found = _VOLTS.match(text)
    return Value(re.sub(r"\s", "", found[1]).replace("-", "/"), found.start(1), found.end()) if found else None


def _phase(text: str) -> Value | None:
    word = _PHASE_WORD.match(text)
    if word:
        return Value("1" if word[1].upper() == "SINGLE" else "3", word.start(1), word.end())
    found = _PHASE.match(text)
    return _value(found[1], found.start(1), found.end()) or (
        Value("1", found.start(1), found.end(), MISREAD)
    ) if found else None


def _code(text: str) -> Value | None:
    found = _CODE.match(text)
    if found is None or len(found[1]) < 4:
        return None
    return Value(re.sub(r"\s+", " ", found[1].strip()), found.start(1), found.end())


def _as_it_is(pattern: re.Pattern[str]) -> Reader:
    def read(text: str) -> Value | None:
        found = pattern.match(text)
        return Value(re.sub(r"\s", "", found[1]), found.start(1), found.end()) if found else None

    return read


def _refrigerant(text: str) -> Value | None:
    found = REFRIGERANT.search(text)
    if found is None:
        return None
    plain = found[1].upper().replace("O", "0")
    return Value(f"R-{plain}", found.start(), found.end(), "" if plain == found[1].upper() else MISREAD)


def _microfarads(text: str) -> Value | None:
    """Both sections or one; more than any run capacitor has is some other figure."""
    one = dual_of(text) or number(3, _UF)(text)
    return None if one is not None and "+" not in one.text and float(one.text) > MOST_UF else one


_AMPS = number(3, "AMPERES|AMPS?|A")

NAMES: tuple[LabelName, ...] = tuple(
    LabelName(key, re.compile(rf"(?<![A-Z0-9])(?:{pattern})(?![A-Z])", re.IGNORECASE), read)
    for key, pattern, read in (
        ("model", r"MODEL(?:\s?(?:NO|NUMBER|#))?|MOD(?:\s?NO|\.)|M/N|CAT(?:ALOG)?\s?NO", _code),
        ("serial", r"SERIAL(?:\s?(?:NO|NUMBER|#))?|SER(?:\s?NO|\.)|S/N", _code),
        ("made", r"(?:MFG|MFR|MFD|MANUF(?:ACTURED|ACTURE)?|PROD)\.?\s?DATE|DATE\s?(?:OF\s?)?(?:MFG|MFR|MANUF(?:ACTURE)?|CODE)?|"
                 r"MANUFACTURED", _as_it_is(_DATE)),
        ("refrigerant", r"REFRIGERANT|REFRIG\.?|FACTORY\s?CHARGE|CHARGE", _refrigerant),
        ("mca_a", r"MIN(?:IMUM|\.)?\s?C(?:IRCUI|K)T\s?(?:AMPACITY|AMPS?|AMP\.?)|MIN(?:IMUM|\.)?\s?AMPACITY|M\.?C\.?A\.?", _AMPS),
        ("mocp_a", r"MAX(?:IMUM|\.)?\s?(?:OVERCURRENT\s?(?:PROT(?:ECTION|ECTIVE|\.)?)?(?:\s?DEVICE)?|"
                   r"FUSE(?:\s?(?:OR|/)\s?(?:CKT\.?|CIRCUIT)\s?(?:BKR\.?|BREAKER|BRKR))?(?:\s?\(?HACR\)?)?(?:\s?SIZE)?|"
                   r"(?:CKT\.?|CIRCUIT)\s?(?:BKR\.?|BREAKER))|M\.?O\.?C?\.?P\.?D?", number(3, "AMPERES|AMPS?|A", decimals=False)),
        ("fla_a", r"F\.?L\.?A\.?|FULL\s?LOAD\s?AMPS?", _AMPS),
        ("rla_a", r"R\.?L\.?A\.?|RATED\s?LOAD\s?AMPS?", _AMPS),
        ("lra_a", r"L\.?R\.?A\.?|LOCKED\s?ROTOR\s?AMPS?", _AMPS),
        ("volt", r"VOLTS?|VOLTAGE|VAC", _volts),
        ("phases", r"PHASES?|PH\.?", _phase),
        ("hz", r"HERTZ|HZ|CYCLES?|FREQ(?:UENCY|\.)?", _as_it_is(_HERTZ)),
        ("hp", r"H\.?P\.?|HORSEPOWER", _as_it_is(_HP)),
        ("uf", r"CAP(?:ACITOR|\.)?|CAPACITANCE|RUN\s?CAP(?:ACITOR)?|MFD", _microfarads),
        ("heater_w", r"CRANKCASE\s?HEATER|CCH", number(3, "WATTS?|W", decimals=False)),
        ("rated_rpm", r"R\.?P\.?M\.?", number(4, "", decimals=False)),
        ("coil_volt", r"COIL(?:\s?VOLTS?|\s?VOLTAGE)?", _volts),
        ("resistive_a", r"RES(?:ISTIVE|\.)?(?:\s?AMPS?)?", _AMPS),
        ("primary_volt", r"PRI(?:MARY|\.)?(?:\s?VOLTS?)?", _volts),
        ("va", r"V\.?A\.?", number(3, "VA", decimals=False)),
    )
)  # fmt: skip
"""The lines of plates and labels, as makers print them (common practice, no source)."""
