"""A part's numbers: what the unit file tells, and what is usual for the rest.

The usual value of most parameters is the kind's default.  A motor's ohms and locked amps go with
its size: where the file does not tell them they follow from what it does tell, in the proportions
of the kind's own defaults (locked amps over rated amps, ohms over volts per locked amp).  On
compressors of 1½ to 5 tons the run winding's ohms are 0.2 to 0.3 of that (common practice, no
source), much as three-phase line-to-line ohms are 0.28 to 0.35.  A run capacitor that is small for
its motor wants a start winding of more turns.  A transformer's ohms, and what its iron takes, go
with the square of its primary volts over its volt-amperes.  A coil's ohms and henries go with
the square of its rated volts: the same volt-amperes.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from rungwise.parts import Coil, Motor, PartKind, Transformer


def numbers_of_kind(kind: PartKind, told: Mapping[str, float]) -> dict[str, float]:
    """Every parameter of a part of `kind` of which the file tells `told`."""
    usual = {p.name: p.default for p in kind.parameters}
    transformer = kind.facet(Transformer)
    if kind.facet(Motor) is not None:
        sized = _by_size(usual, told)
    elif transformer is not None:
        sized = _by_volt_amperes(transformer, usual, told)
    else:
        sized = _by_coil_volts(kind, usual, told)
    return usual | sized | dict(told)


OF_A_PRIMARY = ("primary_ohm", "magnetising_henry", "core_ohm")
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
    if "run_uf" in told:
        now = _turns_squared(volt, rated_a, told["run_uf"])
        own = _turns_squared(usual["rated_volt"], usual["rated_a"], usual["run_uf"])
        ohms["aux_ohm"] *= max(now / own, 1.0)
    return {"rated_a": rated_a, "locked_a": locked_a, **ohms}


def _turns_squared(volt: float, rated_a: float, run_uf: float) -> float:
    """Turns of the start winding over the main one, squared, at which the field is round.

    Kirchhoff asks a line of I = V(1 + a²)/Xc amps then (see `circuit.machine_fit`), here of 60 Hz:
    only ratios of it are used.
    """
    reactance = 1e6 / (2.0 * math.pi * 60.0 * run_uf)
    return max(rated_a * reactance / volt - 1.0, 0.5)


def _by_volt_amperes(
    transformer: Transformer, usual: Mapping[str, float], told: Mapping[str, float]
) -> dict[str, float]:
    """A transformer's ohms and henries by its volts and volt-amperes."""
    volt, va = transformer.primary_volt, transformer.volt_amperes
    small = usual[va] / told.get(va, usual[va])
    primary = small * (told.get(volt, usual[volt]) / usual[volt]) ** 2
    found = {name: primary * usual[name] for name in OF_A_PRIMARY if name in usual}
    return {**found, "secondary_ohm": small * usual["secondary_ohm"]}
