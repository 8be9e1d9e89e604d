"""Reading and writing quantities as the trade writes them: "45 MFD", "1.2 kΩ", "OL".

Every command and page goes through here. A quantity is a float in the unit that its field is
asked in ("µF", "Ω", "V" ...); the name of the field says which.

Four traps that this file exists for:

* `45 F` where µF is asked is 45 000 000 µF, and `0.000045` is a farad figure typed into a µF
  field. Both are read as they stand, and `in_range` refuses them and asks "did you mean 45 µF?".
* `mF` and `MF` on an old capacitor mean microfarad, in a textbook millifarad; `mohm` from a
  phone's keyboard is milliohm or megohm, a healthy winding or a dead short. They are refused.
* `24 VDC` is no coil for AC. Volts and amps are AC, but where a charge is measured.
* `1,200` is one and a fifth or twelve hundred, depending on who typed it. It is refused; `0,4`
  and `12,5` can only be a decimal comma and are read.
"""

from __future__ import annotations

import math
import re
from functools import cache
from typing import NamedTuple

from rungwise.errors import BadQuantity
from rungwise.wording import capital, mark, measured, say

_LONGEST_TEXT = 60
_PREFIXES = {
    "p": 1e-12, "n": 1e-9, "µ": 1e-6, "m": 1e-3, "": 1.0, "k": 1e3, "M": 1e6, "G": 1e9,
}  # fmt: skip
_DC = (
    ("VDC", "Vdc", "vdc", "V DC", "V dc", "DCV", "dcv", "DC V", "DC", "dc", "ADC", "adc", "A DC"),
    mark("is direct current, where AC is meant"), mark("measure on AC; a DC part is another part"),
)  # fmt: skip
_NO_UNITS = {
    "F": (
        ("mF", "MF", "mf", "Mf"), mark("can be micro- or millifarads"),
        mark("write µF, uF or MFD for microfarads"),
    ),
    "V": _DC, "A": _DC,
    "Ω": (
        ("m", "mohm", "mohms", "MOHM", "MOHMS"), mark("can be milliohms or megohms"),
        mark("write mΩ or milliohm for the one, MΩ or megohm for the other"),
    ),
}  # fmt: skip
_BARE_PREFIX_ALLOWED = {"V", "A", "Ω", "F", "H", "W", "VA", "Hz"}
_PREFIX_SPELLINGS = {"u": "µ", "K": "k", "meg": "M"}
_PREFIX_WORDS = {
    "pico": "p", "nano": "n", "micro": "µ", "milli": "m", "": "", "k": "k", "kilo": "k",
    "meg": "M", "mega": "M", "giga": "G",
}  # fmt: skip


class _Scale(NamedTuple):
    """What one unit is worth: value in the dimension's first unit = factor * value + offset."""

    factor: float
    offset: float = 0.0


class _Dimension(NamedTuple):
    """One thing that can be measured, and how people write it.

    noun: "a current"; asked: "in amps (A)"; symbol: what prefixes go in front of.
    read, shown: the prefixes understood, and those used in writing, smallest first.
    words: spelled-out names that take prefix words ("ohm" gives "kilohm", "megohm").
    others: units and spellings that take no prefix.
    """

    noun: str
    asked: str
    symbol: str
    read: str = ""
    shown: tuple[str, ...] = ("",)
    words: tuple[str, ...] = ()
    others: dict[str, _Scale] = {}  # noqa: RUF012  # never changed, and a NamedTuple default


def _same(spellings: str, factor: float = 1.0) -> dict[str, _Scale]:
    """The same scale under each of the space-separated spellings."""
    return dict.fromkeys(spellings.split(), _Scale(factor))


class _Spellings(NamedTuple):
    """The units of one dimension by spelling; a leading m or M counts only as it is written."""

    exact: dict[str, _Scale]
    any_case: dict[str, _Scale]


_FAHRENHEIT = _Scale(5 / 9, -160 / 9)
# Foot, inch: exact by definition. Horsepower: 550 ft·lbf/s, from memory.
_DIMENSIONS = (
    _Dimension(
        mark("a voltage"), mark("in volts (V)"), "V", "nµmkM", ("µ", "m", "", "k", "M"),
        ("volt", "volts"), _same("vac vrms"),
    ),
    _Dimension(
        mark("a current"), mark("in amps (A)"), "A", "nµmk", ("µ", "m", "", "k"),
        ("amp", "amps", "ampere", "amperes"), _same("aac arms"),
    ),
    _Dimension(
        mark("a resistance"), mark("in ohms (Ω)"), "Ω", "µmkMG", ("µ", "m", "", "k", "M", "G"),
        ("ohm", "ohms"), _same("kilohm kilohms", 1e3) | _same("megohm megohms", 1e6),
    ),
    # No "m": see the head of this file. Nor is nF shown, which the trade does not use.
    _Dimension(
        mark("a capacitance"), mark("in microfarads (µF)"), "F", "pnµ", ("µ", ""),
        ("farad", "farads"), _same("mfd mfds", 1e-6),
    ),
    _Dimension(
        mark("an inductance"), mark("in henries (H)"), "H", "nµm", ("µ", "m", ""),
        ("henry", "henries", "henrys"),
    ),
    _Dimension(
        mark("a power"), mark("in watts (W)"), "W", "µmkM", ("µ", "m", "", "k", "M"),
        ("watt", "watts"), _same("hp", 745.699872),
    ),
    _Dimension(
        mark("an apparent power"), mark("in volt-amps (VA)"), "VA", "mkM", ("m", "", "k", "M"),
    ),
    _Dimension(
        mark("a frequency"), mark("in hertz (Hz)"), "Hz", "mkM", ("m", "", "k", "M"), ("hertz",),
    ),
    _Dimension(
        mark("a time"), mark("in seconds (s)"), "s", "nµm", ("µ", "m", ""), ("second", "seconds"),
        _same("sec secs") | _same("min mins minute minutes", 60.0)
        | _same("h hr hrs hour hours", 3600.0),
    ),
    _Dimension(
        mark("a length"), mark("in meters (m)"),
        "m", "m", (), ("metre", "metres", "meter", "meters"),
        _same("cm", 0.01) | _same("ft foot feet", 0.3048) | _same("in inch inches", 0.0254),
    ),
    _Dimension(
        mark("a temperature"), mark("in degrees Celsius (°C)"), "°C", "", (), (),
        _same("c degc celsius") | dict.fromkeys(["°f", "f", "degf", "fahrenheit"], _FAHRENHEIT),
    ),
    # Pound-force and inch are exact by definition; a gauge reads above the air's own pressure.
    _Dimension(
        mark("a pressure"), mark("in psi (psi)"), "psi", "", (), (),
        _same("psig") | _same("kpa kpag", 1.0 / 6.894757293168)
        | _same("bar barg", 100.0 / 6.894757293168) | _same("mpa mpag", 1e3 / 6.894757293168),
    ),
    _Dimension(
        mark("an air flow"), mark("in cubic meters a second (m³/s)"), "m³/s", "", (), (),
        _same("m3/s") | _same("m³/h m3/h", 1.0 / 3600.0) | _same("l/s", 1e-3)
        | _same("cfm", 0.3048**3 / 60.0),
    ),
    _Dimension(mark("a share"), mark("in percent (%)"), "%", "", (), (), _same("percent pct")),
    _Dimension(mark("a plain number"), mark("as a plain number"), "", "", ()),
)  # fmt: skip

_NUMBER = re.compile(
    r"([+-]?(?:[0-9]+[.,]?[0-9]*|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?)( ?)([A-Za-zΩµ°%].*)?"
)
_EITHER_COMMA = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")
_TWO_RATINGS = re.compile(
    r"([0-9.,]+ ?[A-Za-zΩµ]*) ?[/\u2010-\u2014-] ?([0-9.,]+) ?([A-Za-zΩµ].*)?"
)
_DIRECT = re.compile(r"(.*?) ?dc(?: ?v| ?a)?", re.IGNORECASE)
_AT_LEAST = re.compile(r"[>≥] ?(.+)")
_FRACTION = re.compile(
    r"(?:([0-9]{1,3})[ -])?([0-9]{1,3})/([0-9]{1,3}) ?(hp|in|inch|inches)", re.IGNORECASE
)
_THOUSANDS = re.compile(r"(?<=[0-9])[\u00a0\u2007\u2009\u202f](?=[0-9]{3}(?![0-9]))")
_SPELLING = str.maketrans(
    {
        "\u2126": "Ω", "ω": "Ω", "\u03bc": "µ", "\u2212": "-", "\u2019": "'", "℃": "°C",
        "\u00a0": " ", "\u2007": " ", "\u2009": " ", "\u200a": " ", "\u202f": " ", "\t": " ",
    }
)  # fmt: skip
_OPEN = re.compile(r"(?:[o0]\.?l\.?|open|inf(?:init[ey])?|∞)(?![a-z]) ?(.*)", re.IGNORECASE)
_OVER = re.compile(r"[o0]\.?l\.?(?![a-z]) ?(.*)", re.IGNORECASE)
_OVER_RANGE = ("F",)  # of what a meter shows OL, besides ohms

_NOT_TAKEN = {"-", "\u2013", "\u2014", "can't reach", "cant reach", "cannot reach"}


def parse(text: str | float, unit: str, *, what: str = "") -> float:
    """The quantity that `text` says, as a number of `unit`.

    text: a number, or a text with or without unit: "27", "27 V", "0.4k", "0,4 kΩ", "400 ohm",
        "45 µF", "45 MFD", "45e-6 F". A number without unit is in `unit`. "OL" and "open" are
        `math.inf`, where ohms are asked. `350m` is milli; `350 m` is metres.
    unit: "V", "A", "Ω", "µF", "W", "VA", "Hz", "m", "min", "s", "°C", "H", "%", "psi" (gauge),
        "m³/s", "" for a plain number, or one of these with another prefix ("mV", "MΩ").
    what: what is asked for, such as "coil resistance"; goes into the error.
    Raises BadQuantity: not a number, an unknown unit, or a unit of another dimension.
    Raises ValueError: `unit` itself is unknown, which is a mistake in the calling code.
    """
    if isinstance(text, str):
        return _parse_text(text, unit, what)
    return _plain(text, unit, what)


def parse_reading(
    text: str | float, unit: str, *, what: str = "", direct: bool = False
) -> float | None:
    """A meter reading: as `parse`, and None for "can't reach" or "-", which is no reading.

    "OL" is over range on microfarads too, where a meter shows it on a shorted section; ">550 MΩ"
    is 550 MΩ at least. direct: DC is measured, and "12 V DC" may say so. Raises as `parse`.
    """
    if isinstance(text, str):
        if _tidy(text).casefold() in _NOT_TAKEN:
            return None
        if _over_range(text, unit):
            return math.inf
        more = _DIRECT if direct else _AT_LEAST if unit == "MΩ" else None
        found = more and more.fullmatch(_tidy(text))
        text = found[1] if found else text
    return parse(text, unit, what=what)


def parse_rating(text: str | float, unit: str, *, what: str = "") -> tuple[float, float]:
    """The lowest and the highest value that a label gives: "208/230 V" is 208 and 230.

    A label of one value gives it twice. Also "208-230", "208V/230V", "230/208 VAC". Only for
    what stands on labels: a meter shows one value. Raises as `parse`.
    """
    found = _TWO_RATINGS.fullmatch(_tidy(text)) if isinstance(text, str) else None
    if found is None:
        one = parse(text, unit, what=what)
        return one, one
    first, second, suffix = found.groups()
    both = [parse(each, unit, what=what) for each in (first, f"{second} {suffix or ''}".strip())]
    return min(both), max(both)


def format_quantity(value: float, unit: str, digits: int = 3) -> str:
    """`value`, a number of `unit`, as people read it: "1.2 kΩ", "45 µF", "350 mV", "OL".

    digits: how many significant digits; digits before the decimal point are never rounded away.
    Far outside the usual sizes the result is like "1e-12 V". `parse` reads back all of it.
    Raises ValueError: unknown `unit`.
    """
    dimension, scale = _known_unit(unit)
    if not math.isfinite(value):
        over = value > 0 and dimension.symbol in ("Ω", *_OVER_RANGE)
        return "OL" if over else f"{value} {unit}".rstrip()
    if not dimension.shown or unit in dimension.others:
        return f"{_significant(value, digits)} {unit}".rstrip()
    return _with_prefix(value * scale.factor, dimension, digits)


def quantity_told(value: float, unit: str, digits: int = 3) -> str:
    """As `format_quantity`; temperatures, pressures, lengths and flows in the reader's units."""
    return measured(*format_quantity(value, unit, digits).partition(" ")[::2])


def in_range(
    value: float,
    low: float | None,
    high: float | None,
    unit: str,
    what: str,
    *,
    typed: str | float | None = None,
    next_step: str | None = None,
) -> float:
    """`value` itself, if `low` <= value <= `high`; None is no bound on that side.

    value, low, high: numbers of `unit`.
    what: what the value is, such as "run capacitor, compressor section".
    typed: what stood in the file, if it was not the bare number.
    next_step: what to do; by default a guess at the slip (a factor 10, 1 000 or 1 000 000).
    Raises BadQuantity: outside, or not a number; it names the allowed range.
    """
    if _fits(value, low, high):
        return value
    below = low is not None and value < low
    size = mark("too low") if below else mark("too high")
    size = mark("not a number") if math.isnan(value) else size
    shown = typed if isinstance(typed, str) else _as_typed(value, unit)
    raise BadQuantity(
        what=say("{what}: {shown} is {size}.", what=capital(what), shown=shown, size=size),
        value=shown,
        allowed=range_text(low, high, unit),
        next_step=next_step
        or _slip(value, low, high, unit)
        or mark("check the value and its unit"),
    )


def range_text(low: float | None, high: float | None, unit: str) -> str:
    """The allowed range in words: '9 to 20 Ω', 'at least 1 MΩ', 'at most 5 A', or '' for any."""
    at_least = None if low is None else format_quantity(low, unit, 6)
    at_most = None if high is None else format_quantity(high, unit, 6)
    if at_most is None:
        return "" if at_least is None else say("at least {least}", least=at_least)
    if at_least is None:
        return say("at most {most}", most=at_most)
    number, _, suffix = at_least.partition(" ")
    same_unit = suffix == at_most.partition(" ")[2] or number == "0"
    return say("{low} to {high}", low=number if same_unit else at_least, high=at_most)


def _parse_text(text: str, unit: str, what: str) -> float:
    tidy = _tidy(text) if len(text) <= _LONGEST_TEXT else ""
    is_open = _OPEN.fullmatch(tidy)
    if is_open:
        return _open(text, is_open[1], unit, what)
    found = _NUMBER.fullmatch(_whole(tidy))
    if found is None:
        raise _refused(
            text, unit, what, mark("is not a number with a unit") if text else mark("is empty")
        )
    number, gap, suffix = found.groups()
    if _EITHER_COMMA.fullmatch(number):
        one, other = (number.replace(",", sign) for sign in ("", "."))
        either = say("write {one} or {other}", one=one, other=other)
        raise _refused(text, unit, what, mark("can be read in two ways"), either)
    value = _plain(float(number.replace(",", ".")), unit, what, typed=text)
    return _convert(value, suffix, unit, what, text, attached=not gap) if suffix else value


def _whole(tidy: str) -> str:
    """Fractions, "1/4 HP" and "1 1/2 in", as decimals; anything else as it stands."""
    found = _FRACTION.fullmatch(tidy)
    if found is None or not int(found[3]):
        return tidy
    return f"{int(found[1] or 0) + int(found[2]) / int(found[3])!r} {found[4]}"


def _over_range(text: str, unit: str) -> bool:
    """Whether a meter shows over range on microfarads; "open" says something else than OL there."""
    dimension = _known_unit(unit)[0].symbol
    found = _OVER.fullmatch(_tidy(text)) if dimension in _OVER_RANGE else None
    return found is not None and (not found[1] or bool(_look_up(found[1], _spellings(dimension))))


def _plain(value: float, unit: str, what: str, *, typed: str | None = None) -> float:
    """A number as it stands; only a resistance may be infinite, and only when it was meant."""
    ohms = _known_unit(unit)[0].symbol == "Ω"
    try:
        number = math.nan if isinstance(value, bool) else float(value)
    except OverflowError:
        number = math.nan
    meant = typed is None and number > 0 and ohms
    if math.isfinite(number) or (math.isinf(number) and meant):
        return number
    raise _refused(str(value) if typed is None else typed, unit, what, mark("is not a number here"))


def _convert(
    value: float, suffix: str, unit: str, what: str, text: str, *, attached: bool
) -> float:
    """`value` of the unit called `suffix`, as a number of `unit`."""
    dimension, target = _known_unit(unit)
    spaced_m = suffix == "m" and not attached and dimension.symbol != "m"
    source = None if spaced_m else _look_up(suffix, _spellings(dimension.symbol))
    spellings, why, next_step = _NO_UNITS.get(dimension.symbol, ((), "", ""))
    if suffix in spellings and not spaced_m:
        raise _refused(text, unit, what, why, next_step)
    if source is None:
        raise _refused(text, unit, what, _what_came(suffix))
    if source == target:
        return value
    result = (value * source.factor + source.offset - target.offset) / target.factor
    if not math.isfinite(result):
        raise _refused(text, unit, what, mark("is not a number here"))
    # The last digits are the noise of factors such as 1e-6; 45e-6 F is 45 µF and not a hair more.
    return float(f"{result:.14g}")


def _open(text: str, suffix: str, unit: str, what: str) -> float:
    """Infinity for a meter that shows OL on its ohms range."""
    if _known_unit(unit)[0].symbol == "Ω" and (not suffix or _look_up(suffix, _spellings("Ω"))):
        return math.inf
    raise _refused(
        text,
        unit,
        what,
        mark("says that a circuit is open, which only an ohms reading can say"),
        mark('write the number that the meter showed, or "can\'t reach"'),
    )


def _what_came(suffix: str) -> str:
    """What a unit that was not asked for measures, to say so."""
    for dimension in _DIMENSIONS:
        if suffix in _PREFIXES and suffix != dimension.symbol:
            continue
        if dimension.symbol and _look_up(suffix, _spellings(dimension.symbol)):
            return say("is {noun}", noun=dimension.noun)
    return say("has a unit '{unit}' that is not known here", unit=suffix)


def _refused(
    text: str, unit: str, what: str, why: str, next_step: str | None = None
) -> BadQuantity:
    """The error for a `text` that cannot be a quantity in `unit`."""
    dimension, _ = _known_unit(unit)
    typed = text if len(text) <= _LONGEST_TEXT else f"{text[:_LONGEST_TEXT]}…"
    manner = dimension.asked if unit in (dimension.symbol, "µF") else say("in {unit}", unit=unit)
    like = say('write it like 27 or "27 {unit}"', unit=unit) if unit else mark("write it like 27")
    return BadQuantity(
        what=say(
            "{subject} is asked {manner}, and '{typed}' {why}.",
            subject=capital(what) if what else mark("A value"),
            manner=manner,
            typed=typed,
            why=why,
        ),
        value=typed,
        allowed=say("a number in {unit}", unit=unit) if unit else mark("a number without unit"),
        next_step=next_step or like,
    )


def _tidy(typed: str) -> str:
    """One spelling for the signs that have several, and no space that carries nothing."""
    return " ".join(_THOUSANDS.sub("", typed).translate(_SPELLING).split())


@cache
def _spellings(symbol: str) -> _Spellings:
    """Every spelling of every unit in the dimension of `symbol`, with what it is worth."""
    dimension = next(each for each in _DIMENSIONS if each.symbol == symbol)
    letters = {each: each for each in ("", *dimension.read)}
    letters |= {other: each for other, each in _PREFIX_SPELLINGS.items() if each in letters}
    words = {word: letter for word, letter in _PREFIX_WORDS.items() if letter in letters}
    one_meaning = {way: each for way, each in letters.items() if way not in {"m", "M"}}
    bare = ("",) if symbol in _BARE_PREFIX_ALLOWED else ()
    names = (symbol, symbol.lower(), *dimension.words, *bare)
    return _Spellings(
        exact=_prefixed(letters, names),
        any_case={way.lower(): scale for way, scale in _prefixed(one_meaning, names).items()}
        | _prefixed(words, dimension.words)
        | dimension.others,
    )


def _prefixed(ways: dict[str, str], names: tuple[str, ...]) -> dict[str, _Scale]:
    """Each prefix, as spelled in `ways`, before each name, and what that unit is worth."""
    return {f"{way}{name}": _Scale(_PREFIXES[each]) for way, each in ways.items() for name in names}


def _look_up(suffix: str, spellings: _Spellings) -> _Scale | None:
    """The scale of the unit written `suffix`; "V AC" is "VAC", and "KVA" is "kVA"."""
    joined = suffix.replace(" ", "")
    return spellings.exact.get(joined) or spellings.any_case.get(joined.lower())


@cache
def _known_unit(unit: str) -> tuple[_Dimension, _Scale]:
    """The dimension and the worth of a unit named by the calling code."""
    name = unit.translate(_SPELLING)
    for dimension in _DIMENSIONS:
        if name == dimension.symbol:
            return dimension, _Scale(1.0)
        spellings = _spellings(dimension.symbol)
        scale = spellings.exact.get(name) or dimension.others.get(name)
        if scale is not None and name not in _PREFIXES:
            return dimension, scale
    raise ValueError(f"no unit is called {unit!r}")


def _with_prefix(value: float, dimension: _Dimension, digits: int) -> str:
    """`value` in the dimension's unprefixed unit, with the prefix that leaves 1 to 999."""
    rounded = abs(float(f"{value:.{max(digits, 3) - 1}e}"))
    fitting = [each for each in dimension.shown if rounded >= _PREFIXES[each]]
    prefix = fitting[-1] if fitting else dimension.shown[0] if rounded else ""
    scaled = value / _PREFIXES[prefix]
    if rounded and not 1e-6 <= abs(scaled) < 1e7:
        return f"{value:.{digits}g} {dimension.symbol}"
    return f"{_significant(scaled, digits)} {prefix}{dimension.symbol}"


def _significant(value: float, digits: int) -> str:
    """`value` with `digits` significant digits, no exponent in the usual range, no idle zeros."""
    if value == 0:
        return "0"
    if not 1e-6 <= abs(value) < 1e12:
        return f"{value:.{digits}g}"
    leading = math.floor(math.log10(abs(value)))
    figure = f"{value:.{max(0, digits - 1 - leading)}f}"
    return figure.rstrip("0").rstrip(".") if "." in figure else figure


def _as_typed(value: float, unit: str) -> str:
    """`value` under the unit of its field, without a prefix that nobody typed."""
    if not math.isfinite(value):
        return format_quantity(value, unit)
    return f"{_significant(value, 6)} {unit}".rstrip()


def _fits(value: float, low: float | None, high: float | None) -> bool:
    inside = (low is None or value >= low) and (high is None or value <= high)
    return inside and not math.isnan(value)


def _slip(value: float, low: float | None, high: float | None, unit: str) -> str | None:
    """'did you mean 45 µF?', when one or two plain slips would bring the value into range."""
    meant = [value * factor for factor in (10, 0.1, 1e3, 1e-3, 1e6, 1e-6)]
    fitting = [format_quantity(each, unit, 6) for each in meant if _fits(each, low, high)]
    if len(fitting) == 2:
        return say("did you mean {one} or {other}?", one=fitting[0], other=fitting[1])
    return say("did you mean {one}?", one=fitting[0]) if len(fitting) == 1 else None
