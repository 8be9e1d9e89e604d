"""From what a candidate's label says to every number that the circuit needs.

What no label says is scaled from the usual part of the kind tables: a coil for more volts has
ohms in the square of them, a transformer of more volt-amperes fewer ohms, a motor of more amps
lower impedance.  Ratings are never made up; the file must give them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from rungwise.parts import KINDS, Motor, PackagePart, Ratings, Transformer
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.reason import Reason, Weight
from rungwise.unit import Unit
from rungwise.wording import say

OHM_SHARE = 0.7
"""Resistance over impedance of a coil with its plunger out (common practice, no source)."""


def values_of(candidate: Candidate, piece: PackagePart, hz: float) -> dict[str, float]:
    """Parameters of the part that `piece` becomes in the unit, on a supply of `hz`."""
    stated = {
        name: candidate.figures[key] for key, name in piece.keys.items() if key in candidate.figures
    }
    usual = {p.name: p.default for p in KINDS[piece.kind].parameters if not p.hidden}
    kind = KINDS[piece.kind]
    if kind.is_contactor:
        return {**_coil(candidate, {**usual, **stated}, hz), **stated}
    if kind.facet(Transformer) is not None:
        return {**_transformer(usual, stated), **stated}
    if kind.facet(Motor) is not None:
        return {**_motor(usual, stated), **stated}
    return stated


def assumed(candidate: Candidate) -> tuple[str, ...]:
    """What decides about the fit, is not on the label, and was taken from the usual part."""
    parameters = candidate.kind.parameters()
    return tuple(
        parameters[key].what for key in candidate.kind.told.weighty if key not in candidate.figures
    )


def ratings_of(unit: Unit, part: str) -> Ratings:
    """What the part is rated for; nothing where its kind does not tell it."""
    return unit.kind_of(part).facet(Ratings) or Ratings(())


def unjudged(candidate: Candidate, what: str) -> Reason:
    """Nobody can say that it serves, because `what` is not known."""
    return Reason(
        Weight.UNJUDGED,
        "strength.unjudged",
        say(
            "{what} of the {title} cannot be judged from what is given: compare its "
            "label with the one that comes out, line by line.",
            what=what,
            title=candidate.title,
        ),
    )


def coil_henry(volt: float, volt_amp: float, ohm: float, hz: float) -> float:
    """Inductance in H of a coil that takes `volt_amp` at `volt`: |Z| = V²/VA, X² = |Z|² - R².

    Raises ValueError when its resistance alone is more than |Z|.
    """
    reactance_squared = (volt**2 / volt_amp) ** 2 - ohm**2
    if reactance_squared <= 0:
        msg = say(
            "{ohm} ohm alone leave at most {most_coil_va} VA",
            ohm=f"{ohm:g}",
            most_coil_va=f"{most_coil_va(volt, ohm):g}",
        )
        raise ValueError(msg)
    return math.sqrt(reactance_squared) / (2 * math.pi * hz)


def most_coil_va(volt: float, ohm: float) -> float:
    """The most volt-amperes that a coil of `ohm` can draw: V²/R."""
    return volt**2 / ohm


def _coil(candidate: Candidate, values: Mapping[str, float], hz: float) -> dict[str, float]:
    usual_volt = KINDS[candidate.kind.pieces[0].kind].parameter("coil_volt").default
    scale = (values["coil_volt"] / usual_volt) ** 2
    figures = candidate.figures
    own_hz = {"50": 50.0, "60": 60.0}.get(candidate.texts.get("coil_hz", ""), hz)
    made = {"coil_ohm": figures.get("coil_ohm", _usual_ohm(figures, scale * values["coil_ohm"]))}
    for henry, volt_amp in (("coil_in_henry", "sealed_va"), ("coil_out_henry", "inrush_va")):
        made[henry] = scale * values[henry]
        if volt_amp in figures:
            made[henry] = coil_henry(
                values["coil_volt"], figures[volt_amp], made["coil_ohm"], own_hz
            )
    return made


def _usual_ohm(figures: Mapping[str, float], usual: float) -> float:
    """Ohms of a coil that nobody read: the usual ones, or fewer where its volt-amperes ask it."""
    drawn = [figures[key] for key in ("sealed_va", "inrush_va") if key in figures]
    if not drawn:
        return usual
    return min(usual, OHM_SHARE * figures["coil_volt"] ** 2 / max(drawn))


def _transformer(usual: Mapping[str, float], stated: Mapping[str, float]) -> dict[str, float]:
    """Ohms and henries as 1/VA, those of the primary also as the square of its volts."""
    size = usual["va"] / stated["va"]
    turns = (stated["primary_volt"] / usual["primary_volt"]) ** 2
    made = {key: usual[key] * size * turns
            for key in ("primary_ohm", "magnetising_henry", "core_ohm")}  # fmt: skip
    return made | {"secondary_ohm": usual["secondary_ohm"] * size}


def _motor(usual: Mapping[str, float], stated: Mapping[str, float]) -> dict[str, float]:
    """Winding ohms as volts over amps, locked amps as running amps."""
    scale = (stated["rated_volt"] / usual["rated_volt"]) / (stated["rated_a"] / usual["rated_a"])
    made = {key: usual[key] * scale for key in ("main_ohm", "aux_ohm") if key in usual}
    return made | {"locked_a": usual["locked_a"] * stated["rated_a"] / usual["rated_a"]}
