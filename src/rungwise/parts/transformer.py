"""The control transformer: line volts in, about 24 V out, with its leakage and magnetising."""

from __future__ import annotations

from rungwise.parts.element import (
    Branch,
    Coupled,
    FloatArray,
    Lookup,
    insulation,
    negate,
    value,
)
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    MixedUp,
    Terminals,
    Transformer,
    families,
)
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, handle
from rungwise.parts.pictures import CONTROL_RANK, Piece, Stand, Symbol
from rungwise.parts.seen import Look, Looks, Probes
from rungwise.parts.trade import CONTROLS, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, LeaveOff, Plain, Words, told


def _ratio(p: Lookup) -> FloatArray:
    """Turns of the secondary over those of the primary."""
    return p["secondary_open_volt"] / (p["primary_volt"] * p["coupling"])


def _secondary_henry(p: Lookup) -> FloatArray:
    return p["magnetising_henry"] * _ratio(p) ** 2


def _mutual_henry(p: Lookup) -> FloatArray:
    return p["coupling"] * p["magnetising_henry"] * _ratio(p)


_READ = frozenset({"volts", "ohms"})
_WINDING = frozenset({"ohms"})
"""No volts at R and C condemn nothing: its own line side may be dead."""

HIGH_R_C = (1.13, 1.17)
"""Secondary volts over their usual ones: a 208 V tap on 240 V, 240/208, and its makers' spread."""

LOW_R_C = (0.84, 0.89)
"""A 240 V tap on 208 V, 208/240."""

_REPLACE = Repair(
    "replace", "replace the {title}, after checking for a short on its load", 200.0, _READ
)


def _tap(name: str, what: str, volts: tuple[float, float]) -> Mode:
    return Mode(
        name,
        f"{{noun}} {what}",
        2.0,
        (Draw("secondary_open_volt", *volts, "scale"),),
        "retap",
        "read the volts on the primary; lock out; move the primary lead to the tap that is "
        "marked for those volts and cap the other by itself",
        behind="a transformer fitted as it came, on a 208 or a 240 V supply",
        signs={"recent_work": 0.4},
        shown_by=frozenset({"volts"}),
        wrong_minutes=30.0,
    )


_WORDS = Words(
    purpose="The transformer makes the low volts that the thermostat switches with.",
    modes={
        **told(FAILED, ("primary_open", "secondary_open")),
        "shorted": FAILED.staying_off(LeaveOff.BREAKER),
        **told(
            Plain(
                "The {noun} was connected for another supply.",
                "connect it for the supply of this house",
            ),
            ("tap_low", "tap_high"),
        ),
        **told(SOMETHING, ("another_volts", "another_weak")),
    },
)

KINDS = (
    PartKind(
        name="transformer",
        title="control transformer",
        noun="transformer",
        terminals=("pri1", "pri2", "R", "C"),
        parameters=(
            Parameter("primary_volt", "V", 120.0, 100, 480, "rated primary volts"),
            Parameter(
                "secondary_open_volt",
                "V",
                27.5,
                22,
                30,
                "secondary volts, no load",
                tolerance=0.03,
                untold=0.09,
                spread_source="R to C of 23 to 29 V is good; rule of thumb",
            ),
            Parameter("va", "VA", 40.0, 10, 100, "rated volt-amperes"),
            Parameter(
                "primary_ohm",
                "Ω",
                12.0,
                0.5,
                400,
                "primary resistance",
                tolerance=0.1,
                untold=0.7,
                spread_source="on no label, and by make; rule of thumb",
            ),
            Parameter(
                "secondary_ohm",
                "Ω",
                0.8,
                0.05,
                5,
                "secondary resistance",
                tolerance=0.1,
                untold=0.5,
                spread_source="on no label, and by make; rule of thumb",
                moves_with="primary_ohm",
            ),
            Parameter(
                "magnetising_henry",
                "H",
                4.8,
                0.5,
                200,
                "primary self inductance",
                tolerance=0.1,
                untold=0.5,
                spread_source="on no label, and by make; rule of thumb",
                moves_with="primary_ohm",
            ),
            Parameter("coupling", "", 0.998, 0.9, 0.9999, "coupling of the windings"),
            Parameter("core_ohm", "Ω", 3600.0, 500, 1e5, "core loss seen from the primary"),
            Parameter("insulation_ohm", "Ω", 5e8, 1e3, 1e12, "insulation between the windings"),
            handle("primary_open", "primary winding open"),
            handle("secondary_open", "secondary winding open"),
            handle("turns_shorted", "secondary turns shorted"),
            Parameter(
                "short_share",
                "",
                0.4,
                0.01,
                10.0,
                "short over the secondary's own ohms",
                hidden=True,
            ),
        ),
        elements=(
            Coupled(
                "windings",
                ("pri1", "pri2"),
                ("R", "C"),
                value("primary_ohm"),
                value("magnetising_henry"),
                value("secondary_ohm"),
                _secondary_henry,
                _mutual_henry,
                negate(value("primary_open")),
                negate(value("secondary_open")),
            ),
            Branch(
                "core",
                "pri1",
                "pri2",
                value("core_ohm"),
                closed=negate(value("primary_open")),
            ),
            Branch(
                "short",
                "R",
                "C",
                lambda p: p["short_share"] * p["secondary_ohm"],
                closed=value("turns_shorted"),
            ),
            insulation("between", "pri2", value("insulation_ohm"), "C"),
        ),
        facets=(
            families("transformer"),
            Stand(("pri1", "pri2"), right=("R", "C"), rank=CONTROL_RANK, mark="two rings"),
            Symbol(
                (
                    Piece("primary", ("pri1", "pri2"), ("winding",), aside="primary"),
                    Piece("secondary", ("R", "C"), ("winding",), source=True, aside="secondary"),
                )
            ),
            _WORDS,
            Probes(to_neutral=("pri1",)),
            Looks((Look("burnt", "burnt", "scorched or burnt smell?", ("no", "yes")),)),
            Transformer(
                "windings",
                ("pri1", "pri2"),
                ("R", "C"),
                "primary_volt",
                "va",
            ),
            Label(
                ("primary_volt", "va"),
                weighty=("secondary_open_volt",),
                unseen=("mount", "inherent limit or breaker of its own"),
                on_a_van=6,
            ),
            Ratings(
                (Rating("va", Against.SECONDARY), Rating("primary_volt", Against.PRIMARY_VOLTS))
            ),
            Wear(CONTROLS),
        ),
        lacks=LOADS - {Transformer} | SWITCHING | JOINTS | {MixedUp, Terminals},
        change_minutes=(45.0, 45.0),
        modes=(
            *(
                _REPLACE.mode(
                    f"{winding}_open",
                    f"{{noun}} {winding} open",
                    10.0,
                    behind="a short on the control circuit, or age",
                    shown_by=_WINDING,
                )
                for winding in ("primary", "secondary")
            ),
            _REPLACE.mode(
                "shorted",
                "{noun} secondary turns shorted",
                3.0,
                # A few turns or most of them: R to C from half a volt to half of what is good.
                Draw("turns_shorted", 1, 1),
                Draw("short_share", 0.05, 3.0),
                signs={"burnt": 0.6},
                shown_by=_READ | {"look:burnt"},
            ),
            _tap("tap_low", "on a primary tap for fewer volts than it gets", HIGH_R_C),
            _tap("tap_high", "on a primary tap for more volts than it gets", LOW_R_C),
            _REPLACE.another(
                "volts", 0.6, Draw("secondary_open_volt", 0.4, 0.8, "scale"), noun="{title}"
            ),
            _REPLACE.another(
                "weak", 0.6, Draw("secondary_ohm", 4.0, 200.0, "scale"), noun="{title}"
            ),
        ),
    ),
)
