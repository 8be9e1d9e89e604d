"""Which judge a candidate is given to: by what its parts are, never by the name of its kind.

Whoever has no ratings is given to nobody: what is not compared is not judged, and never *serves*.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from rungwise.parts import (
    Capacitor,
    Coil,
    Control,
    Facet,
    Heater,
    Motor,
    OpensOn,
    Overcurrent,
    Poles,
    Ratings,
    Timer,
    Transformer,
)
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.capacitor import capacitor_reasons
from rungwise.replacement.contactor import contactor_reasons
from rungwise.replacement.control_circuit import transformer_reasons
from rungwise.replacement.control_parts import (
    delay_reasons,
    heater_reasons,
    heater_stat_reasons,
    relay_reasons,
    thermostat_reasons,
    valve_reasons,
)
from rungwise.replacement.motor import motor_reasons
from rungwise.replacement.protection import breaker_reasons, disconnect_reasons, fuse_reasons
from rungwise.replacement.reason import Reason
from rungwise.replacement.reference import Reference
from rungwise.replacement.start_kit import kit_reasons
from rungwise.replacement.trials import Specimen

Judge = Callable[[Reference, Specimen, Candidate], Iterator[Reason]]


def judge_of(candidate: Candidate) -> Judge | None:
    """The judge of its ratings; None where a part of it has none, or none that anybody judges."""
    kinds = candidate.kind.kinds()
    if not all(kind.facet(Ratings) for kind in kinds):
        return None
    for sort, judge in _JUDGES:
        told = next((facet for kind in kinds if (facet := kind.facet(sort))), None)
        found = None if told is None else judge(told)
        if found is not None:
            return found
    return None


def _of_a_coil(coil: Any) -> Judge | None:
    judges: dict[str, Judge] = {
        "definite purpose": contactor_reasons,
        "general purpose": relay_reasons,
        "starting": kit_reasons,
        "valve": valve_reasons,
    }
    return judges.get(coil.duty)


def _of_a_capacitor(capacitor: Any) -> Judge:
    in_for_a_start = all(section.purpose == "start" for section in capacitor.sections)
    return kit_reasons if in_for_a_start else capacitor_reasons


def _of_a_switch(opens: Any) -> Judge | None:
    return heater_stat_reasons if opens.what == "warmth" else None


def _of_a_breaker(overcurrent: Any) -> Judge | None:
    return breaker_reasons if overcurrent.how == "trips" else None


def _of_poles(poles: Any) -> Judge | None:
    """A fuse in a holder that a hand opens is judged with that, as a disconnect."""
    return disconnect_reasons if poles.moved_by == "hand" else None


_JUDGES: tuple[tuple[type[Facet], Callable[[Any], Judge | None]], ...] = (
    (Coil, _of_a_coil),
    (Motor, lambda _: motor_reasons),
    (Capacitor, _of_a_capacitor),
    (Transformer, lambda _: transformer_reasons),
    (Heater, lambda _: heater_reasons),
    (Control, lambda _: thermostat_reasons),
    (Timer, lambda _: delay_reasons),
    (OpensOn, _of_a_switch),
    (Overcurrent, _of_a_breaker),
    (Poles, _of_poles),
    (Overcurrent, lambda _: fuse_reasons),
)
"""By what a part has, the first that decides; what is in none of these, nobody judges."""
