"""The ways in which a contactor fails, listed ones and others; weights: common practice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from rungwise.parts.kind import LACKS_LEG, Draw, Mode
from rungwise.parts.ways import Repair

PITTED_OHM = (0.03, 0.6)
"""Beyond what is worn and still good: 0.2 V and more at the amps of a compressor, which starts."""

BURNT_OHM = (0.6, 8.0)
"""So much that locked amps take a fifth of the volts and more: the compressor hums and trips."""

PITTED_SHARE = 0.6
"""Of such contacts, those through which it still starts (as the orders of magnitude of ohms)."""

WRONG_VOLTS = (110.0, 250.0)
"""Coils for 120 V up to 240 V put in place of a 24 V one."""

LOW_VOLTS = (22.0, 28.0)
"""A 24 V coil put in place of one for line volts."""

LINE_COIL_V = 60.0
"""A coil for more than this hangs on line volts."""

CONTACT_WAYS = ("pitted", "burnt", "open")
"""What wear and heat make of one of its contacts."""

_WORN_BY = "age, low coil volts, short cycling or a loose connection"
_MINUTES = 120.0
_EXAMINE = Repair(
    "replace",
    "read coil ohms, each coil lead to the frame, and the drop across each pole pulled in; "
    "replace the {noun} only when one of them is wrong, or poles, bar or pole faces look it",
    _MINUTES,
)
_REPLACE = Repair("replace", "replace the {noun}", _MINUTES)
_OHMS = frozenset({"ohms"})
_GROUND = frozenset({"ohms", "megohms"})
_PLUNGER = frozenset({"look:plunger"})
_CONTACT = frozenset({"drop", "look:burnt"})


def _replaced(
    name: str,
    title: str,
    weight: float,
    edits: tuple[Draw, ...],
    shown_by: frozenset[str],
    behind: str = "",
    signs: dict[str, float] | None = None,
) -> Mode:
    """A listed mode whose repair is another contactor."""
    return _REPLACE.mode(
        name, title, weight, *edits, behind=behind, signs=signs or {}, shown_by=shown_by
    )


def _coil(ohm: tuple[float, float], henry: tuple[float, float]) -> tuple[Draw, ...]:
    return (
        Draw("coil_ohm", *ohm, "scale"),
        Draw("coil_in_henry", *henry, "scale"),
        Draw("coil_out_henry", *henry, "scale"),
    )


def _other_volts(number: Callable[[str], float]) -> tuple[Draw, ...]:
    """Ohms and henries of a coil of the same volt-amperes go with the square of its volts."""
    own = number("coil_volt")
    low, high = LOW_VOLTS if own > LINE_COIL_V else WRONG_VOLTS
    ratio = ((low / own) ** 2, (high / own) ** 2)
    return (Draw("coil_volt", low, high), *_coil(ratio, ratio))


_COIL_MODES = (
    _replaced("coil_open", "{noun} coil open", 22.0, (Draw("coil_open", 1, 1),), _OHMS),
    replace(
        _replaced(
            "coil_shorted",
            "{noun} coil has shorted turns",
            9.0,
            (*_coil((0.05, 0.5), (0.003, 0.15)), Draw("coil_weak", 1, 1)),
            _OHMS,
            signs={"burnt": 0.4},
        ),
        # The low-voltage fuse, of what is not short enough for the circuit to blow it.
        opens_ahead=(0.4, "coil1"),
    ),
    replace(
        _replaced(
            "coil_wrong_volts",
            "{noun} coil is made for other volts",
            1.5,
            _other_volts(lambda _: 24.0),
            _OHMS,
            behind="the wrong part fitted by earlier work",
            signs={"recent_work": 0.7},
        ),
        edits_of=_other_volts,
    ),
)

_PLUNGER_MODES = (
    Mode(
        "blocked",
        "plunger blocked by insects or debris",
        22.0,
        (Draw("blocked", 1, 1),),
        "clear",
        "clear the insects or debris, or replace the {noun} if it is scarred",
        signs={"debris": 0.85},
        shown_by=frozenset({"look:plunger", "look:debris"}),
        wrong_minutes=30.0,
    ),
    _replaced(
        "chatters",
        "{noun} pulls in and drops out at good volts: shading ring broken or spring weak",
        5.0,
        (Draw("chatters", 1, 1),),
        _PLUNGER,
        behind="rust or dirt on the pole faces, or age",
        signs={"burnt": 0.3},
    ),
    _replaced(
        "hums",
        "{noun} hums though it is in: pole faces dirty or shading ring broken",
        8.0,
        (Draw("hums", 1, 1),),
        frozenset({"look:plunger"}),
        behind="rust or dirt on the pole faces, or age",
        signs={"burnt": 0.2},
    ),
    _replaced(
        "welded",
        "{noun} contacts welded",
        18.0,
        (Draw("welded", 1, 1),),
        _PLUNGER | {"look:burnt", "ohms"},
        behind="low coil volts, short cycling or a loose connection",
        signs={"burnt": 0.5},
    ),
)


def _pole_modes(pole: int, poles: int) -> tuple[Mode, ...]:
    """One pole's listed modes, then what else may be wrong with it."""
    return (
        _replaced(
            f"pole{pole}_pitted",
            f"{{noun}} contact {pole} pitted",
            45.0 * PITTED_SHARE / poles,
            (Draw(f"contact{pole}_ohm", *PITTED_OHM),),
            _CONTACT,
            behind=_WORN_BY,
            signs={"burnt": 0.6},
        ),
        # A way of its own, so that the few ohms at which an overload opens behind it have their
        # particles: found open still or closed again, as one comes and once it is dead.
        _replaced(
            f"pole{pole}_burnt",
            f"{{noun}} contact {pole} burnt nearly through: what it feeds hardly starts",
            45.0 * (1.0 - PITTED_SHARE) / poles,
            (Draw(f"contact{pole}_ohm", *BURNT_OHM),),
            _CONTACT,
            behind=_WORN_BY,
            signs={"burnt": 0.6},
        ),
        replace(
            _replaced(
                f"pole{pole}_open",
                f"{{noun}} contact {pole} does not carry",
                15.0 / poles,
                (Draw(f"open{pole}", 1, 1),),
                _CONTACT,
                behind="burnt away, or an insect between the contacts",
                signs={"burnt": 0.5},
            ),
            overdraws=LACKS_LEG,
        ),
        _other(f"pole{pole}", 0.8, (Draw(f"contact{pole}_ohm", 8.0, 1000.0),), _CONTACT),
        _other(
            f"leak{pole}",
            0.4,
            (Draw(f"leaks{pole}", 1, 1), Draw("leak_ohm", 3.0, 2e4)),
            frozenset({"ohms", "volts"}),
        ),
    )


def _other(name: str, weight: float, edits: tuple[Draw, ...], shown_by: frozenset[str]) -> Mode:
    return _EXAMINE.another(name, weight, *edits, shown_by=shown_by)


_OTHERS = (
    _other("coil", 1.0, _coil((1.8, 20.0), (1.8, 20.0)), _OHMS),
    _other("coil_leak", 0.5, (Draw("insulation_ohm", 1.0, 5e4),), _GROUND),
    _other("pull", 1.0, (Draw("pull_in_ratio", 0.9, 1.8),), _PLUNGER),
)
_BAR = _other("bar", 0.6, (Draw("bar_ohm", 0.03, 300.0),), frozenset({"drop", "ohms"}))


def contactor_modes(poles: int) -> tuple[Mode, ...]:
    """Every mode of a contactor of so many poles; one of one pole has a solid bar beside it."""
    numbers = range(1, poles + 1)
    return (
        *_COIL_MODES,
        *_PLUNGER_MODES,
        *(mode for n in numbers for mode in _pole_modes(n, poles)),
        *_OTHERS,
        *((_BAR,) if poles == 1 else ()),
    )
