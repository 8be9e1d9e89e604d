"""An end of a wire in the words of the trade: which part is meant, and which of its terminals."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache

from rungwise.parts import (
    KINDS,
    Capacitor,
    Coil,
    Conductor,
    Families,
    Heater,
    Motor,
    OpensOn,
    PartKind,
    Poles,
    Timer,
    Transformer,
)
from rungwise.unit import Part

SHORT = {
    "comp": "compressor", "compr": "compressor", "cont": "contactor", "cntr": "contactor",
    "cc": "contactor", "cap": "capacitor", "ofm": "outdoor fan motor", "cfm": "outdoor fan motor",
    "condenser": "outdoor", "idm": "indoor blower motor", "ibm": "indoor blower motor",
    "hps": "high pressure switch", "hpc": "high pressure switch", "hp": "high pressure",
    "lps": "low pressure switch", "lpc": "low pressure switch", "lp": "low pressure",
    "cch": "crankcase heater", "htr": "heater", "xfmr": "transformer", "trans": "transformer",
    "tstat": "thermostat", "stat": "thermostat", "disc": "disconnect", "brkr": "breaker",
    "cb": "breaker", "ground": "earth", "gnd": "earth", "grd": "earth", "timer": "delay",
    "tdr": "delay", "mtr": "motor", "sw": "switch", "single": "one", "double": "two",
    "dpst": "two pole", "potential": "start", "poles": "pole", "neut": "neutral",
}  # fmt: skip
"""What labels write short, and other words for the same; common practice, no source."""

FILLERS = frozenset({
    "of", "the", "on", "at", "in", "to", "from", "a", "an", "terminal", "term", "lead", "side",
    "post", "tab", "field", "wire", "nut", "for",
})  # fmt: skip
"""Words that say neither which part nor which terminal."""

_WORD = re.compile(r"[a-z]+\d*|\d+")
_POLES = (
    (re.compile(r"\b1\s*-?\s*(?:p|pole)\b"), "one pole"),
    (re.compile(r"\b2\s*-?\s*(?:p|pole)\b"), "two pole"),
    (re.compile(r"\b3\s*-?\s*(?:p|pole)\b"), "three pole"),
)


def words_of(typed: str) -> tuple[str, ...]:
    """The words of an end, short ones written out and fillers left away."""
    return _written_out(_in_small(typed))


def _in_small(typed: str) -> tuple[str, ...]:
    """The words as they were typed, in small letters."""
    typed = typed.casefold()
    for pattern, words in _POLES:
        typed = pattern.sub(words, typed)
    return tuple(_WORD.findall(typed))


def _written_out(typed: tuple[str, ...]) -> tuple[str, ...]:
    spelled = (SHORT.get(word, word) for word in typed)
    return tuple(each for word in spelled for each in word.split() if each not in FILLERS)


def tier_of(phrase: Iterable[str], part: Part) -> int | None:
    """How near words are to a part's; None where they are not its words.

    0 by its title, 1 by the words of its title in another order, 2 by its name, 3 by some words
    of its title, 4 by its kind's.
    """
    typed = tuple(phrase)
    said, in_order = frozenset(typed), words_of(part.title)
    title, name = frozenset(in_order), frozenset(words_of(part.name.replace("_", " ")))
    if said == title:
        return int(typed != in_order)
    if said == name:
        return 2
    if said <= title:
        return 3
    return 4 if said <= title | name | _kind_words(part.kind) else None


@cache
def _kind_words(kind: str) -> frozenset[str]:
    families = KINDS[kind].facet(Families)
    names = [KINDS[kind].title, *(families.names if families else ())]
    return frozenset(word for name in names for word in words_of(name))


def splits(text: str, kind: PartKind) -> Iterator[tuple[tuple[str, ...], str]]:
    """Every way to part an end into the words of its part and a terminal of `kind`.

    The terminal stands behind the part, or before it, as it was typed: CC may be a contactor, or
    what a board calls one of its own. "" where no terminal is told.
    """
    known, typed = _terminal_words(kind.name), _in_small(text)
    for told in dict.fromkeys((typed, tuple(each for each in typed if each not in FILLERS))):
        for count in (3, 2, 1):
            if len(told) > count:
                last, first = told[-count:], told[:count]
                if last in known:
                    yield _written_out(told[:-count]), known[last]
                if first in known:
                    yield _written_out(told[count:]), known[first]
    yield _written_out(typed), ""


@cache
def _terminal_words(kind_name: str) -> dict[tuple[str, ...], str]:
    """By its words each terminal of a kind; its own name comes before any other for it."""
    kind = KINDS[kind_name]
    found: dict[tuple[str, ...], str] = {}
    for end in kind.terminals:
        for name in (end, re.sub(r"^([A-Za-z]+?)_?(\d)$", r"\1 \2", end), end.replace("_", " ")):
            found.setdefault(_plain(name), end)
    for end, names in _other_names(kind):
        for name in names:
            found.setdefault(_plain(name), end)
    return found


def _plain(name: str) -> tuple[str, ...]:
    return tuple(_WORD.findall(name.casefold()))


def _other_names(kind: PartKind) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What people and labels call a terminal besides its name; common practice, no source."""
    coil, motor, poles = kind.facet(Coil), kind.facet(Motor), kind.facet(Poles)
    capacitor, timer, wound = kind.facet(Capacitor), kind.facet(Timer), kind.facet(Transformer)
    if coil is not None:
        for number, end in enumerate(coil.ends, start=1):
            yield end, (f"A{number}", f"coil {number}", f"coil{number}")
    if motor is not None:
        yield motor.common, ("common", "com")
        yield motor.run, ("run", "main")
        yield motor.start, ("start", "aux")
    for number, (line, load) in enumerate(poles.ends if poles else (), start=1):
        yield line, (f"line {number}", f"line{number}", f"L{number}")
        yield load, (f"load {number}", f"load{number}", f"T{number}")
    for section in capacitor.sections if capacitor else ():
        names = {"compressor": ("herm", "H"), "fan": ("fan", "F")}.get(section.marked_for, ())
        yield next(end for end in section.ends if end != capacitor.common), names  # type: ignore[union-attr]
    if capacitor is not None and len(capacitor.sections) > 1:
        yield capacitor.common, ("common", "com", "C")
    if timer is not None:
        yield timer.signal_in, ("Y", "in", "input")
        yield timer.signal_out, ("out", "output")
        yield timer.common, ("C", "common", "com")
    if wound is not None:
        for number, end in enumerate(wound.primary, start=1):
            yield end, (f"primary {number}", f"H{number}", f"line {number}")


def interchangeable(kind: PartKind) -> tuple[str, ...]:
    """The terminals of a kind between which a label makes no difference; none for most kinds."""
    switch, heater, capacitor = kind.facet(OpensOn), kind.facet(Heater), kind.facet(Capacitor)
    if switch is not None:
        return switch.ends
    if heater is not None:
        return heater.ends
    if capacitor is not None and len(capacitor.sections) == 1:
        return capacitor.sections[0].ends
    return kind.terminals if len(kind.terminals) == 1 else ()


def plain_parts() -> tuple[Part, ...]:
    """One part of every kind that is a part, by the kind's own words."""
    return tuple(
        Part(name, name, "outdoor") for name, kind in KINDS.items() if not kind.facet(Conductor)
    )
