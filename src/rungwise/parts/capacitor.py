"""Run capacitors, single and dual, and the start capacitor of a hard-start kit."""

from __future__ import annotations

from dataclasses import replace

from rungwise.parts.element import (
    Branch,
    Element,
    FloatArray,
    Lookup,
    fixed,
    insulation,
    negate,
    value,
)
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    Capacitor,
    MixedUp,
    Section,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Mode, Parameter, PartKind, handle
from rungwise.parts.motor_modes import OVERHEATS
from rungwise.parts.pictures import START_RANK, TWO_TABS, Piece, Stand, Symbol
from rungwise.parts.seen import Look, Looks, Probes
from rungwise.parts.trade import CAPACITORS, Against, Facet, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, LeaveOff, Plain, Words, told

WEAK = (0.30, 0.88)
"""Shares of the marked microfarads below the limit at which a capacitor is changed."""

SPENT = (0.03, 0.30)
"""Shares of the marked microfarads that are left when a section is nearly gone."""

SPENT_SHARE = 0.2
"""How often a section is nearly gone, against merely weak (common practice, no source)."""

FAR_OFF = (1.15, 4.0)
"""Shares of the marked microfarads that one fitted by mistake may have."""

ACROSS_OHM = (0.5, 3000.0)
"""A section that leaks from plate to plate."""

ANOTHER_SHARE = 0.015
"""How often a section has some other microfarads, against its listed ways (common practice)."""

_UF_SOURCE = "±6% is marked on most run capacitors; the rating by make, common practice"
_READ = frozenset({"microfarads"})
_SHORT = frozenset({"microfarads", "ohms"})
_MINUTES = 60.0


def _section(prefix: str, a: str, b: str, esr_ohm: float) -> tuple[Element, ...]:
    def farad(p: Lookup) -> FloatArray:
        return 1e-6 * p[f"{prefix}_uf"]

    return (
        Branch(
            prefix,
            a,
            b,
            fixed(esr_ohm),
            farad=farad,
            closed=negate(value(f"{prefix}_open")),
        ),
        Branch(
            f"{prefix}_short",
            a,
            b,
            value(f"{prefix}_short_ohm"),
            closed=value(f"{prefix}_shorted"),
        ),
    )


def _section_parameters(
    prefix: str, uf: float, what: str, told: float = 0.06, untold: float = 0.1
) -> tuple[Parameter, ...]:
    return (
        Parameter(
            f"{prefix}_uf",
            "µF",
            uf,
            1.0,
            400.0,
            f"{what}, rated",
            actual=what,
            tolerance=told,
            untold=untold,
            spread_source=_UF_SOURCE,
        ),
        Parameter(f"{prefix}_short_ohm", "Ω", 0.05, 0.0, 1e6, f"short in the {what}", hidden=True),
        handle(f"{prefix}_open", f"{what} open"),
        handle(f"{prefix}_shorted", f"{what} shorted"),
    )


def _section_modes(
    prefix: str,
    what: str,
    weights: tuple[float, float, float],
    repair_text: str,
    trips: float = 0.0,
) -> tuple[Mode, ...]:
    """Weak, open, shorted; then any other microfarads and any leak from plate to plate."""
    repair = Repair("replace", repair_text, _MINUTES, _READ)
    weak, broken, shorted = weights
    return (
        _listed(f"{prefix}_weak", f"{what} weak", weak, Draw(f"{prefix}_uf", *WEAK, "scale"),
                repair_text, 0.35),
        _listed(f"{prefix}_spent", f"{what} nearly gone", SPENT_SHARE * weak,
                Draw(f"{prefix}_uf", *SPENT, "scale"), repair_text, 0.5),
        replace(_listed(f"{prefix}_open", f"{what} open", broken, Draw(f"{prefix}_open", 1, 1),
                repair_text, 0.6), overheats=OVERHEATS),
        replace(_listed(f"{prefix}_shorted", f"{what} shorted", shorted,
                Draw(f"{prefix}_shorted", 1, 1), repair_text, 0.5, _SHORT),
                opens_ahead=(trips, "C")),
        repair.another(f"{prefix}_uf", ANOTHER_SHARE * sum(weights),
                       Draw(f"{prefix}_uf", *FAR_OFF, "scale"), noun=what),
        repair.another(f"{prefix}_across", 0.5, Draw(f"{prefix}_shorted", 1, 1),
                       Draw(f"{prefix}_short_ohm", *ACROSS_OHM), noun=what, shown_by=_SHORT),
    )  # fmt: skip


def _listed(
    name: str,
    title: str,
    weight: float,
    draw: Draw,
    repair_text: str,
    bulged: float,
    shown_by: frozenset[str] = _READ,
) -> Mode:
    repair = Repair("replace", repair_text, _MINUTES, shown_by)
    return repair.mode(name, title, weight, draw, behind="heat and age", signs={"bulged": bulged})


def _to_the_can(repair_text: str) -> Mode:
    repair = Repair("replace", repair_text, _MINUTES, frozenset({"ohms", "megohms"}))
    return repair.another("can", 0.5, Draw("insulation_ohm", 0.5, 5e4))


def _told(prefix: str) -> dict[str, Plain]:
    """The ways of a section in plain words."""
    return {
        f"{prefix}_weak": Plain("The {noun} had lost part of its strength."),
        f"{prefix}_spent": Plain("The {noun} had lost nearly all of its strength."),
        f"{prefix}_open": FAILED,
        f"{prefix}_shorted": FAILED.staying_off(LeaveOff.BREAKER),
        **told(SOMETHING, (f"another_{prefix}_uf", f"another_{prefix}_across")),
    }


def _two_plates(prefix: str) -> Symbol:
    return Symbol((Piece(prefix, ("1", "2"), ("capacitor",), figures=(f"{prefix}_uf",)),))


_VOLT = Parameter("volt", "V", 440.0, 165, 660, "rated volts")
_INSULATION = Parameter("insulation_ohm", "Ω", 1e9, 1e3, 1e12, "insulation to the can")
_DUAL = "replace the {title} with the same µF in each section, volts equal or higher"
_RUN = "replace the {noun} with the same µF, volts equal or higher"
_START = "replace the {noun}, same µF and volts, and test its relay"

_LACKS: frozenset[type[Facet]] = LOADS - {Capacitor} | SWITCHING | JOINTS | {MixedUp}

UNSEEN = ("can size and strap", "temperature class")
"""What no answer about a capacitor has looked at."""

_RUN_RATINGS = Ratings((Rating("volt", Against.VOLTS),))
"""Beside the microfarads, which each of its sections tells."""

KINDS = (
    PartKind(
        name="dual_capacitor",
        title="dual run capacitor",
        noun="run capacitor",
        terminals=("C", "HERM", "FAN"),
        parameters=(
            *_section_parameters("herm", 45.0, "compressor section"),
            *_section_parameters("fan", 5.0, "fan section"),
            _VOLT,
            _INSULATION,
        ),
        elements=(
            *_section("herm", "HERM", "C", 0.08),
            *_section("fan", "FAN", "C", 0.4),
            insulation("insulation", "C", value("insulation_ohm")),
        ),
        facets=(
            families("capacitor", "run capacitor", "dual capacitor"),
            Stand(top=("C", "HERM", "FAN"), turns=True, mark="double capacitor"),
            Symbol(
                (
                    Piece(
                        "sections", ("HERM", "C", "FAN"), ("capacitor", "capacitor"),
                        figures=("herm_uf", "fan_uf"),
                    ),
                )
            ),
            Words(
                "run capacitor",
                "The capacitor gives both motors the push that they start and run with.",
                _told("herm") | _told("fan") | {"another_can": SOMETHING},
            ),
            Probes(),
            Looks((Look("bulged", "bulged", "is the can bulged or oily?", ("no", "bulged")),)),
            Capacitor(
                (
                    Section(
                        "herm", ("HERM", "C"), "herm_uf", "run", "herm_open", "herm_weak",
                        "compressor",
                    ),
                    Section("fan", ("FAN", "C"), "fan_uf", "run", "fan_open", "fan_weak", "fan"),
                ),
                common="C",
                metal_can=True,
            ),
            Terminals({"C": ("tab",) * 4, "HERM": ("tab",) * 3, "FAN": ("tab",) * 2}),
            MixedUp(
                swapped=(("HERM", "FAN"), ("HERM", "C"), ("FAN", "C")),
                beside=(("HERM", "FAN"), ("FAN", "HERM")),
            ),
            Label(("herm_uf", "fan_uf", "volt"), stands_in="run capacitor", unseen=UNSEEN,
                  read_as={"uf": "herm_uf"}, on_a_van=1),
            _RUN_RATINGS,
            Wear(CAPACITORS, {"weak": ("herm_weak", "fan_weak")}, one_of="capacitor"),
        ),
        lacks=_LACKS - {MixedUp},
        modes=(
            *_section_modes("herm", "{noun}, compressor section", (120.0, 70.0, 5.0),
                            _DUAL, 0.4),
            *_section_modes("fan", "{noun}, fan section", (35.0, 35.0, 3.0), _DUAL),
            _to_the_can(_DUAL),
        ),
    ),
    PartKind(
        name="run_capacitor",
        title="run capacitor",
        terminals=("1", "2"),
        parameters=(*_section_parameters("run", 10.0, "run capacitor"), _VOLT, _INSULATION),
        elements=(
            *_section("run", "2", "1", 0.2),
            insulation("insulation", "1", value("insulation_ohm")),
        ),
        facets=(
            families("capacitor", "run capacitor"),
            replace(TWO_TABS, mark="capacitor"),
            _two_plates("run"),
            Words(
                purpose="The capacitor gives a motor the push that it starts and runs with.",
                modes=_told("run"),
            ),
            Probes(),
            Looks((Look("bulged", "bulged", "is the can bulged or oily?", ("no", "bulged")),)),
            Capacitor(
                (Section("run", ("2", "1"), "run_uf", "run", "run_open", "run_weak"),),
                common="1",
                metal_can=True,
            ),
            Terminals(dict.fromkeys(("1", "2"), ("tab",) * 4)),
            Label(("run_uf", "volt"), stands_in="run capacitor", unseen=UNSEEN,
                  read_as={"uf": "run_uf"}, on_a_van=4),
            _RUN_RATINGS,
            Wear(CAPACITORS, {"weak": ("run_weak",)}, one_of="capacitor"),
        ),
        lacks=_LACKS,
        modes=_section_modes("run", "{noun}", (10.0, 8.0, 1.0), _RUN),
    ),
    PartKind(
        name="start_capacitor",
        title="start capacitor",
        terminals=("1", "2"),
        parameters=(
            *_section_parameters("start", 189.0, "start capacitor", 0.12, 0.5),
            Parameter("volt", "V", 330.0, 110, 440, "rated volts"),
            Parameter(
                "bleed_ohm",
                "Ω",
                15000.0,
                1000.0,
                1e12,
                "bleed resistor across it",
                tolerance=0.05,
                untold=0.3,
                learned=False,
            ),
        ),
        elements=(
            *_section("start", "1", "2", 0.6),
            Branch("bleed", "1", "2", value("bleed_ohm")),
        ),
        facets=(
            families("capacitor", "start kit"),
            replace(TWO_TABS, mark="capacitor", rank=START_RANK),
            _two_plates("start"),
            Words(
                purpose="This capacitor helps the compressor over its first second.",
                modes={
                    name: _told("start")[name]
                    for name in ("start_open", "start_shorted", "another_start_uf")
                },
            ),
            Probes(),
            Looks((Look("bulged", "bulged", "is it bulged, split or oily?", ("no", "bulged")),)),
            Capacitor(
                (Section("start", ("1", "2"), "start_uf", "start", "start_open", ""),),
                common="1",
                metal_can=False,
            ),
            Terminals(dict.fromkeys(("1", "2"), ("tab",) * 2)),
            Label(("start_uf", "volt"), unseen=UNSEEN),
            Ratings((Rating("start_uf", Against.MICROFARADS), Rating("volt", Against.VOLTS))),
            Wear(CAPACITORS, one_of="capacitor"),
        ),
        lacks=_LACKS,
        modes=(
            Repair("replace", _START, _MINUTES, _READ).mode(
                "start_open", "{noun} open", 6.0,
                behind="a start relay that does not drop out", signs={"bulged": 0.6},
            ),
            _listed("start_shorted", "{noun} shorted", 0.5, Draw("start_shorted", 1, 1),
                    _START, 0.6, _SHORT),
            Repair("replace", _START, _MINUTES, _READ).another(
                "start_uf", 0.6, Draw("start_uf", *FAR_OFF, "scale")
            ),
        ),
    ),
)  # fmt: skip
