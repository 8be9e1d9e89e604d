"""A part's numbers: what the unit file tells, and what is usual for the rest.

The usual value of most parameters is the kind's default.  A motor's ohms and locked amps go with
its size: where the file does not tell them they follow from what it does tell, in the proportions
of the kind's own defaults (locked amps over rated amps, ohms over volts per locked amp).  On
compressors of 1½ to 5 tons the run winding's ohms are 0.2 to 0.3 of that (common practice, no
source), much as three-phase line-to-line ohms are 0.28 to 0.35.  A coil's ohms and henries go with
the square of its rated volts: the same volt-amperes.
"""

from __future__ import annotations

from collections.abc import Mapping

from rungwise.parts import Coil, Motor, PartKind


def numbers_of_kind(kind: PartKind, told: Mapping[str, float]) -> dict[str, float]:
    """Every parameter of a part of `kind` of which the file tells `told`."""
    usual = {p.name: p.default for p in kind.parameters}
    motor = kind.facet(Motor) is not None
    sized = _by_size(usual, told) if motor else _by_coil_volts(kind, usual, told)
    return usual | sized | dict(told)


OF_A_COIL = ("coil_ohm", "coil_henry", "coil_in_henry", "coil_out_henry")


def coil_size(kind: PartKind, told: Mapping[str, float]) -> float:
    """What a coil's ohms are over those of the kind's own volts; 1 for a kind without a coil."""
    coil = kind.facet(Coil)
    if coil is None or not coil.volt:
        return 1.0
    own = kind.parameter(coil.volt).default
    return (told.get(coil.volt, own) / own) ** 2


def _by_coil_volts(
    kind: PartKind, usual: Mapping[str, float], told: Mapping[str, float]
) -> dict[str, float]:
    size = coil_size(kind, told)
    return {name: size * usual[name] for name in OF_A_COIL if name in usual and size != 1.0}


def _by_size(usual: Mapping[str, float], told: Mapping[str, float]) -> dict[str, float]:
    """A motor's locked amps and winding ohms by its size."""
    volt = told.get("rated_volt", usual["rated_volt"])
    rated_a = told.get("rated_a", usual["rated_a"] * usual["rated_volt"] / volt)
    locked_a = told.get("locked_a", usual["locked_a"] * rated_a / usual["rated_a"])
    scale = (volt / usual["rated_volt"]) * (usual["locked_a"] / locked_a)
    ohms = {name: scale * usual[name] for name in ("main_ohm", "aux_ohm") if name in usual}
    return {"rated_a": rated_a, "locked_a": locked_a, **ohms}
