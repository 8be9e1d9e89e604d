"""The utility service: two 120 V legs in opposition about an earthed neutral."""

from __future__ import annotations

from rungwise.unit.element import EARTH, Branch, fixed, negate, value
from rungwise.unit.kind import Draw, Mode, Parameter, PartKind, handle


def _leg(name: str, terminal: str, sign: float, lost: str) -> Branch:
    return Branch(
        name,
        terminal,
        EARTH,
        value("source_ohm"),
        henry=value("source_henry"),
        emf_volt=lambda p: sign * p["leg_volt"],
        closed=negate(value(lost)),
    )


KINDS = (
    PartKind(
        name="service",
        title="utility service",
        terminals=("L1", "L2", "N"),
        parameters=(
            Parameter(
                "leg_volt",
                "V",
                120.0,
                90.0,
                140.0,
                "volts of each leg to the neutral",
                tolerance=0.055,
                source="ANSI C84.1 service range B, 110 to 127 V, from memory",
            ),
            Parameter("source_ohm", "Ω", 0.03, 0.001, 2.0, "resistance of each leg to the pole"),
            Parameter("source_henry", "H", 6e-5, 0.0, 1e-2, "inductance of each leg"),
            handle("leg1_lost", "leg L1 is open before the panel"),
            handle("leg2_lost", "leg L2 is open before the panel"),
        ),
        elements=(
            _leg("leg1", "L1", 1.0, "leg1_lost"),
            _leg("leg2", "L2", -1.0, "leg2_lost"),
            Branch("neutral", "N", EARTH, fixed(0.02)),
        ),
        modes=(
            Mode(
                "leg_l1_lost",
                "supply leg L1 lost before the panel",
                3.0,
                (Draw("leg1_lost", 1, 1),),
                "call_utility",
                "call the electric utility: a leg is lost before the panel",
            ),
            Mode(
                "leg_l2_lost",
                "supply leg L2 lost before the panel",
                3.0,
                (Draw("leg2_lost", 1, 1),),
                "call_utility",
                "call the electric utility: a leg is lost before the panel",
            ),
            Mode(
                "low_volts",
                "supply volts low",
                12.0,
                (Draw("leg_volt", 0.66, 0.82, "scale"),),
                "raise_supply",
                "find why the supply volts are low (utility, panel, undersized run)",
            ),
        ),
    ),
)
