"""A part's numbers: what the unit file tells, and what is usual for the rest.

The usual value of most parameters is the kind's default.  A motor's ohms and locked amps go with
its size: where the file does not tell them they follow from what it does tell, in the proportions
of the kind's own defaults (locked amps over rated amps, ohms over volts per locked amp).  On
compressors of 1½ to 5 tons the run winding's ohms are 0.2 to 0.3 of that (common practice, no
source), much as three-phase line-to-line ohms are 0.28 to 0.35.
"""

from __future__ import annotations

from collections.abc import Mapping

from rungwise.parts import Motor, PartKind


def numbers_of_kind(kind: PartKind, told: Mapping[str, float]) -> dict[str, float]:
    """Every parameter of a part of `kind` of which the file tells `told`."""
    usual = {p.name: p.default for p in kind.parameters}
    motor = kind.facet(Motor) is not None
    return (usual | _by_size(usual, told) if motor else usual) | dict(told)


def _by_size(usual: Mapping[str, float], told: Mapping[str, float]) -> dict[str, float]:
    """A motor's locked amps and winding ohms by its size."""
    volt = told.get("rated_volt", usual["rated_volt"])
    rated_a = told.get("rated_a", usual["rated_a"] * usual["rated_volt"] / volt)
    locked_a = told.get("locked_a", usual["locked_a"] * rated_a / usual["rated_a"])
    scale = (volt / usual["rated_volt"]) * (usual["locked_a"] / locked_a)
    ohms = {name: scale * usual[name] for name in ("main_ohm", "aux_ohm") if name in usual}
    return {"rated_a": rated_a, "locked_a": locked_a, **ohms}
