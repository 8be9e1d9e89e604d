"""The control transformer with two primary taps: one is used, the other is capped and live.

The winding from the one tap to the other is part of the same winding, so that the capped lead
stands as far above or below the line as its tap says.  Which lead is on the line is a matter of the
last hand: on a tap for fewer volts than it gets, 24 V is high and all coils run hot; on one for
more, it is low, and contactors chatter on a hot afternoon.  Weights are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

from rungwise.parts.element import Branch, Coupled, Expr, FloatArray, Lookup, fixed, negate, value
from rungwise.parts.kind import Draw, Mode, Parameter, handle
from rungwise.parts.pictures import CONTROL_RANK, Piece, Stand, Symbol
from rungwise.parts.seen import Look, Looks
from rungwise.parts.trade import Label
from rungwise.parts.transformer import KINDS as TRANSFORMERS
from rungwise.parts.words import Plain, Words

(_PLAIN,) = TRANSFORMERS

_MAIN, _REST = 1.5, 3.0
"""Of the ohms of the used winding what lies in each of two that stand for it side by side: together
they are those ohms (1/1.5 + 1/3 = 1), and the second carries what comes from the other tap."""


def _turns(p: Lookup) -> FloatArray:
    """Turns between the taps over those of the used one; below 0 where the other has fewer."""
    return p["other_volt"] / p["primary_volt"] - 1.0


def _times(name: str, factor: float) -> Expr:
    return lambda p: factor * p[name]


_WOUND = next(each for each in _PLAIN.elements if isinstance(each, Coupled))
_CORE = next(e for e in _PLAIN.elements if isinstance(e, Branch) and e.name == "core")
_OPEN = negate(value("primary_open"))
_OTHER = value("other_tap")


def _joint(name: str, lead: str, winding: str, closed: Expr) -> Branch:
    return Branch(name, lead, winding, fixed(1e-3), closed=closed)


_ELEMENTS = (
    replace(
        _WOUND,
        first=("pri1", "used"),
        ohm1=_times("primary_ohm", _MAIN),
        henry1=_times("magnetising_henry", 2.0),
        mutual_henry=lambda p: 2.0 * _WOUND.mutual_henry(p),
        henry2=lambda p: 2.0 * _WOUND.henry2(p),
    ),
    Coupled(
        "taps",
        ("pri1", "used"),
        ("other", "used"),
        _times("primary_ohm", _REST),
        _times("magnetising_henry", 2.0),
        lambda p: abs(_turns(p)) * p["primary_ohm"] + 1e-3,
        lambda p: 2.0 * p["magnetising_henry"] * _turns(p) ** 2,
        lambda p: -0.9999 * 2.0 * p["magnetising_henry"] * _turns(p),
        _OPEN,
        _OPEN,
    ),
    replace(_CORE, b="used"),
    *(e for e in _PLAIN.elements if e.name in ("short", "between")),
    _joint("to_used", "pri2", "used", negate(_OTHER)),
    _joint("to_other", "tap", "other", negate(_OTHER)),
    _joint("used_on_other", "pri2", "other", _OTHER),
    _joint("other_on_used", "tap", "used", _OTHER),
)

_TAPS = ("tap_low", "tap_high")

_WRONG_TAP = Mode(
    "wrong_tap",
    "line's lead on the other primary tap of the {noun}",
    20.0,
    (Draw("other_tap", 1, 1),),
    "retap",
    "read the volts on the primary; lock out; move the line's lead to the tap that is marked "
    "for those volts, and cap the other by itself: it is live",
    behind="a transformer left as it came, on a 208 or a 240 V supply",
    signs={"recent_work": 0.4, "wrong_tap": 0.9},
    shown_by=frozenset({"volts", "look:tap"}),
    wrong_minutes=30.0,
)

_OWN = (
    Stand(("pri1", "pri2", "tap"), right=("R", "C"), rank=CONTROL_RANK, mark="two rings"),
    Symbol(
        (
            Piece("primary", ("pri1", "pri2"), ("winding",), aside="primary"),
            Piece("tap", ("tap",), aside="other tap, capped"),
            Piece("secondary", ("R", "C"), ("winding",), source=True, aside="secondary"),
        )
    ),
    Looks(
        (
            Look("burnt", "burnt", "scorched or burnt smell?", ("no", "yes")),
            Look("wrong_tap", "tap",
                 "is the line's lead on the tap that is marked for the volts read there?",
                 ("it is", "on another tap")),
        )
    ),
    Label(
        ("primary_volt", "va"),
        weighty=("secondary_open_volt",),
        unseen=("mount", "inherent limit or breaker of its own", "its other taps"),
    ),
)  # fmt: skip


def _words() -> Words:
    plain = next(facet for facet in _PLAIN.facets if isinstance(facet, Words))
    kept = {name: told for name, told in plain.modes.items() if name not in _TAPS}
    wrong = Plain(
        "The {noun} was connected for another supply.", "connect it for the supply of this house"
    )
    return replace(plain, modes={**kept, "wrong_tap": wrong})


KINDS = (
    replace(
        _PLAIN,
        name="transformer_taps",
        title="control transformer with taps",
        noun="transformer",
        terminals=("pri1", "pri2", "tap", "R", "C"),
        parameters=(
            *_PLAIN.parameters,
            Parameter("other_volt", "V", 240.0, 100.0, 600.0, "volts of the primary tap not used"),
            handle("other_tap", "line's lead on the other tap"),
        ),
        elements=_ELEMENTS,
        facets=(
            *(f for f in _PLAIN.facets if type(f) not in {Words, *(type(own) for own in _OWN)}),
            *_OWN,
            _words(),
        ),
        modes=(*(mode for mode in _PLAIN.modes if mode.name not in _TAPS), _WRONG_TAP),
        inner_nodes=("used", "other"),
    ),
)
