"""How plates and labels name their lines, and what may stand behind each name."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from rungwise.wording import mark

_ANY = re.IGNORECASE


@dataclass(frozen=True)
class Value:
    """What was read of a line. printed: as a person would type it. start, end: where it stands.

    why: what makes it unsure by itself: a letter read where a digit belongs.
    """

    printed: str
    start: int
    end: int
    why: str = ""


Reader = Callable[[str], Value | None]


@dataclass(frozen=True)
class LabelName:
    """A line's name. pattern: how it is printed. read: what may stand behind it."""

    key: str
    pattern: re.Pattern[str]
    read: Reader


_DIGIT = "0-9OoIlSB"
_LIKE_DIGITS = str.maketrans({"O": "0", "o": "0", "I": "1", "l": "1", "S": "5", "B": "8"})
MOST_UF = 120.0
MISREAD = mark("a letter stands where a digit belongs")


def number(most_digits: int = 3, units: str = "", *, decimals: bool = True) -> Reader:
    """Reads a number, with one of the units behind it or none."""
    fraction = rf"(?:\s?[.,]\s?[{_DIGIT}]{{1,2}})?" if decimals else ""
    pattern = re.compile(
        rf"[\s:=.#-]*([{_DIGIT}]{{1,{most_digits}}}{fraction})(?![{_DIGIT}.,/+-]*[{_DIGIT}])"
        + (rf"\s?(?:{units})?" if units else "")
        + r"(?![A-Za-z])",
        _ANY,
    )
    return _reader(pattern, lambda found: found[1])


def _reader(pattern: re.Pattern[str], told: Callable[[re.Match[str]], str]) -> Reader:
    def read(printed: str) -> Value | None:
        found = pattern.match(printed)
        return _value(told(found), found.start(1), found.end()) if found else None

    return read


def _value(raw: str, start: int, end: int) -> Value | None:
    plain = re.sub(r"\s", "", raw).replace(",", ".").translate(_LIKE_DIGITS)
    if not any(each.isdigit() for each in raw):
        return None
    changed = plain != re.sub(r"\s", "", raw).replace(",", ".")
    return Value(plain, start, end, MISREAD if changed else "")


_VOLT = r"(1[12][05]|20[08]|2[234]0|265|277|370|380|400|415|440|460|480|575)"
_VOLTS = re.compile(rf"[\s:=.-]*({_VOLT}(?:\s?[/-]\s?{_VOLT})?)(?![0-9])\s?(?:VAC|V|VOLTS)?", _ANY)
_PHASE = re.compile(r"[\s:=.-]*([13lI])(?![0-9.])\s?(?:PH|Ø|PHASE)?")
_PHASE_WORD = re.compile(r"[\s:=.-]*(SINGLE|THREE)", _ANY)
_HERTZ = re.compile(r"[\s:=.-]*([56][0O])(?![0-9.])\s?(?:HZ|HERTZ|CY)?", _ANY)
_CODE = re.compile(r"[\s:=.#-]*((?=[A-Z0-9/ -]*[0-9])[A-Z0-9]{1,}(?:[-/. ]?[A-Z0-9]+){0,7})", _ANY)
_DATE = re.compile(
    r"[\s:=.-]*((?:0?[1-9]|1[0-2])\s?[/-]\s?(?:(?:19|20)[0-9]{2}|[0-9]{2})|(?:19|20)[0-9]{2}\s?[/-]\s?"
    r"(?:0[1-9]|1[0-2])|(?:19|20)[0-9]{2})(?![0-9/-])"
)
REFRIGERANT = re.compile(
    r"\bR\s?[-–—]?\s?(41[0O]A|4[0O]7C|22|32|454B|134A|452B)(?![A-Z0-9])", _ANY
)  # fmt: skip
_HP = re.compile(
    r"[\s:=.-]*([0-9]{1,2}\s?/\s?[0-9]{1,2}|[0-9]?[.][0-9]{1,2}|[1-9])(?![0-9/.])\s?(?:HP)?",
    _ANY,
)
_UF = r"(?:[µμu]\s?F|MFD|MF|UFD)"
DUAL = re.compile(
    rf"(?<![0-9.])([0-9]{{2}}(?:[.,][0-9])?)\s?[/+]\s?([0-9]{{1,2}}(?:[.,][0-9])?)(?=\s?(?:{_UF}|MFD)|\s|$)"
    rf"(?:\s?({_UF}))?", _ANY,
)  # fmt: skip
UF = re.compile(rf"(?<![0-9./+])([0-9]{{1,3}}(?:[.,][0-9]{{1,2}})?)\s?{_UF}(?![A-Z])", _ANY)


def dual_of(printed: str) -> Value | None:
    """Both sections of a dual capacitor, "45+5", where a line begins with them."""
    found = DUAL.match(printed.lstrip(" :=.-"))
    if found is None or float(found[1].replace(",", ".")) <= float(found[2].replace(",", ".")):
        return None
    lead = len(printed) - len(printed.lstrip(" :=.-"))
    both = f"{found[1]}+{found[2]}".replace(",", ".")
    return Value(both, lead + found.start(1), lead + found.end())


def _volts(printed: str) -> Value | None:
    found = _VOLTS.match(printed)
    if found is None:
        return None
    told = re.sub(r"\s", "", found[1]).replace("-", "/")
    alone = mark("208 stands alone: is it 208/230?") if told == "208" else ""
    return Value(told, found.start(1), found.end(), alone)


def _phase(printed: str) -> Value | None:
    word = _PHASE_WORD.match(printed)
    if word:
        return Value("1" if word[1].upper() == "SINGLE" else "3", word.start(1), word.end())
    found = _PHASE.match(printed)
    return (
        _value(found[1], found.start(1), found.end())
        or (Value("1", found.start(1), found.end(), MISREAD))
        if found
        else None
    )


def _code(printed: str) -> Value | None:
    found = _CODE.match(printed)
    if found is None or len(found[1]) < 4:
        return None
    return Value(re.sub(r"\s+", " ", found[1].strip()), found.start(1), found.end())


def _as_it_is(pattern: re.Pattern[str]) -> Reader:
    def read(printed: str) -> Value | None:
        found = pattern.match(printed)
        return Value(re.sub(r"\s", "", found[1]), found.start(1), found.end()) if found else None

    return read


def _refrigerant(printed: str) -> Value | None:
    found = REFRIGERANT.search(printed)
    if found is None:
        return None
    plain = found[1].upper().replace("O", "0")
    return Value(
        f"R-{plain}", found.start(), found.end(), "" if plain == found[1].upper() else MISREAD
    )


def _microfarads(printed: str) -> Value | None:
    """Both sections or one; more than any run capacitor has is some other figure."""
    one = dual_of(printed) or number(3, _UF)(printed)
    if one is not None and "+" not in one.printed and float(one.printed) > MOST_UF:
        return None
    return one


_AMPS = number(3, "AMPERES|AMPS?|A")

_LINES: tuple[tuple[str, Reader, tuple[str, ...]], ...] = (
    ("model", _code, (r"MODEL(?:\s?(?:NO|NUMBER|#))?", r"MOD(?:\s?NO|\.)", "M/N")),
    ("serial", _code, (r"SERIAL(?:\s?(?:NO|NUMBER|#))?", r"SER(?:\s?NO|\.)", "S/N")),
    ("made", _as_it_is(_DATE), (
        r"(?:MFG|MFR|MFD|MANUF(?:ACTURED|ACTURE)?|PROD)\.?\s?DATE",
        r"DATE\s?(?:OF\s?)?(?:MFG|MFR|MANUF(?:ACTURE)?|CODE)?", "MANUFACTURED")),
    ("refrigerant", _refrigerant, ("REFRIGERANT", r"REFRIG\.?", r"(?:FACTORY\s?)?CHARGE")),
    ("mca_a", _AMPS, (
        r"MIN(?:IMUM|\.)?\s?C(?:IRCUI|K)T\s?(?:AMPACITY|AMPS?|AMP\.?)",
        r"MIN(?:IMUM|\.)?\s?AMPACITY", r"M\.?C\.?A\.?")),
    ("mocp_a", number(3, "AMPERES|AMPS?|A", decimals=False), (
        r"MAX(?:IMUM|\.)?\s?OVERCURRENT\s?(?:PROT(?:ECTION|ECTIVE|\.)?)?(?:\s?DEVICE)?",
        r"MAX(?:IMUM|\.)?\s?FUSE(?:\s?(?:OR|/)\s?(?:(?:CKT|CIRCUIT)\.?\s?)?B\w+\.?)?(?:\s?SIZE)?",
        r"MAX(?:IMUM|\.)?\s?(?:CKT\.?|CIRCUIT)\s?(?:BKR\.?|BREAKER)", r"M\.?O\.?C?\.?P\.?D?")),
    ("fla_a", _AMPS, (r"F\.?L\.?A\.?", r"FULL\s?LOAD\s?AMPS?")),
    ("rla_a", _AMPS, (r"R\.?L\.?A\.?", r"RATED\s?LOAD\s?AMPS?")),
    ("lra_a", _AMPS, (r"L\.?R\.?A\.?", r"LOCKED\s?ROTOR\s?AMPS?")),
    ("volt", _volts, ("VOLTS?", "VOLTAGE", "VAC")),
    ("phases", _phase, ("PHASES?", r"PH\.?")),
    ("hz", _as_it_is(_HERTZ), ("HERTZ", "HZ", "CYCLES?", r"FREQ(?:UENCY|\.)?")),
    ("hp", _as_it_is(_HP), (r"H\.?P\.?", "HORSEPOWER")),
    ("uf", _microfarads, (r"(?:RUN\s?)?CAP(?:ACITOR|\.)?", "CAPACITANCE", "MFD")),
    ("heater_w", number(3, "WATTS?|W", decimals=False), (r"CRANKCASE\s?HEATER", "CCH")),
    ("rated_rpm", number(4, "", decimals=False), (r"R\.?P\.?M\.?",)),
    ("coil_volt", _volts, (r"COIL(?:\s?VOLTS?|\s?VOLTAGE)?",)),
    ("resistive_a", _AMPS, (r"RES(?:ISTIVE|\.)?(?:\s?AMPS?)?",)),
    ("primary_volt", _volts, (r"PRI(?:MARY|\.)?(?:\s?VOLTS?)?",)),
    ("va", number(3, "VA", decimals=False), (r"V\.?A\.?",)),
)  # fmt: skip
"""A field, what may stand behind its name, and how plates and labels name it (common practice, no
source)."""

NAMES: tuple[LabelName, ...] = tuple(
    LabelName(key, re.compile(rf"(?<![A-Z0-9])(?:{'|'.join(told)})(?![A-Z])", _ANY), read)
    for key, read, told in _LINES
)
