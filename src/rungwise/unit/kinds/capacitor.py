"""Run capacitors, single and dual, and the start capacitor of a hard-start kit."""

from __future__ import annotations

from rungwise.unit.element import (
    Branch,
    Element,
    FloatArray,
    Lookup,
    fixed,
    insulation,
    negate,
    value,
)
from rungwise.unit.kind import Draw, Mode, Parameter, PartKind, handle


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
        Branch(f"{prefix}_short", a, b, fixed(0.05), closed=value(f"{prefix}_shorted")),
    )


def _section_parameters(prefix: str, uf: float, what: str) -> tuple[Parameter, ...]:
    return (
        Parameter(f"{prefix}_uf", "µF", uf, 1.0, 400.0, f"{what}, rated", 0.06),
        handle(f"{prefix}_open", f"{what} open"),
        handle(f"{prefix}_shorted", f"{what} shorted"),
    )


def _section_modes(
    prefix: str, what: str, weights: tuple[float, float, float], repair_text: str
) -> tuple[Mode, ...]:
    weak, broken, shorted = weights
    return (
        Mode(
            f"{prefix}_weak",
            f"{what} weak",
            weak,
            (Draw(f"{prefix}_uf", 0.40, 0.85, "scale"),),
            "replace",
            repair_text,
            behind="heat and age",
            signs={"bulged": 0.35},
        ),
        Mode(
            f"{prefix}_open",
            f"{what} open",
            broken,
            (Draw(f"{prefix}_open", 1, 1),),
            "replace",
            repair_text,
            behind="heat and age",
            signs={"bulged": 0.6},
        ),
        Mode(
            f"{prefix}_shorted",
            f"{what} shorted",
            shorted,
            (Draw(f"{prefix}_shorted", 1, 1),),
            "replace",
            repair_text,
            signs={"bulged": 0.5},
        ),
    )


_VOLT = Parameter("volt", "V", 440.0, 165, 660, "rated volts")
_DUAL = "replace the dual run capacitor with the same µF in each section, volts equal or higher"
_RUN = "replace the run capacitor with the same µF, volts equal or higher"

KINDS = (
    PartKind(
        name="dual_capacitor",
        title="dual run capacitor",
        terminals=("C", "HERM", "FAN"),
        parameters=(
            *_section_parameters("herm", 45.0, "compressor section"),
            *_section_parameters("fan", 5.0, "fan section"),
            _VOLT,
            Parameter("insulation_ohm", "Ω", 1e9, 1e3, 1e12, "insulation to the can"),
        ),
        elements=(
            *_section("herm", "HERM", "C", 0.08),
            *_section("fan", "FAN", "C", 0.4),
            insulation("insulation", "C", value("insulation_ohm")),
        ),
        modes=(
            *_section_modes("herm", "run capacitor, compressor section", (120.0, 70.0, 5.0), _DUAL),
            *_section_modes("fan", "run capacitor, fan section", (35.0, 35.0, 3.0), _DUAL),
        ),
    ),
    PartKind(
        name="run_capacitor",
        title="run capacitor",
        terminals=("1", "2"),
        parameters=(
            *_section_parameters("run", 10.0, "run capacitor"),
            _VOLT,
            Parameter("insulation_ohm", "Ω", 1e9, 1e3, 1e12, "insulation to the can"),
        ),
        elements=(
            *_section("run", "2", "1", 0.2),
            insulation("insulation", "1", value("insulation_ohm")),
        ),
        modes=_section_modes("run", "run capacitor", (10.0, 8.0, 1.0), _RUN),
    ),
    PartKind(
        name="start_capacitor",
        title="start capacitor",
        terminals=("1", "2"),
        parameters=(
            *_section_parameters("start", 189.0, "start capacitor"),
            Parameter("volt", "V", 330.0, 110, 440, "rated volts"),
            Parameter("bleed_ohm", "Ω", 15000.0, 1000.0, 1e12, "bleed resistor across it", 0.05),
        ),
        elements=(
            *_section("start", "1", "2", 0.6),
            Branch("bleed", "1", "2", value("bleed_ohm")),
        ),
        modes=(
            Mode(
                "start_open",
                "start capacitor open",
                6.0,
                (Draw("start_open", 1, 1),),
                "replace",
                "replace the start capacitor, same µF and volts, and test its relay",
                behind="a start relay that does not drop out",
                signs={"bulged": 0.6},
            ),
        ),
    ),
)
