"""Which checks each figure of a proof is made of, told by what they read and where."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from rungwise.circuit import FINE_VOLTS, VOLTS
from rungwise.diagnosis import CheckCard, is_seen_at_start
from rungwise.parts import Coil, Poles
from rungwise.unit import Unit
from rungwise.verification import SECONDS
from rungwise.wording import mark

_Tells = Callable[[Unit, CheckCard], bool]


def groups_of(unit: Unit, cards: Iterable[CheckCard]) -> dict[str, list[CheckCard]]:
    """The checks that can be made, by what they tell."""
    known = list(cards)
    return {name: [it for it in known if tells(unit, it)] for name, tells in _TELLS.items()}


def _is_supply(unit: Unit, card: CheckCard) -> bool:
    """Volts at rest, and those of the contactor's line side under load and as it starts."""
    if card.instrument != VOLTS.name:
        return False
    if card.setting == "standby":
        return card.quantity in ("volts", "ghost")
    at_main = card.touches == (unit.roles.main_contactor,)
    under_load = card.setting == "calling" and {card.red, card.black} <= _line_side(unit)
    return at_main and (under_load or (card.setting == "starting" and card.quantity == "sag"))


def _line_side(unit: Unit) -> set[str]:
    """The main contactor's terminals that the supply comes to."""
    name = unit.roles.main_contactor
    poles = unit.kind_of(name).facet(Poles) if name else None
    return {f"{name}.{line}" for line, _ in poles.ends} if poles is not None else set()


def _is_coil(unit: Unit, card: CheckCard) -> bool:
    """Volts on the main contactor's coil, while it calls and as it starts."""
    name = unit.roles.main_contactor
    coil = unit.kind_of(name).facet(Coil) if name else None
    ends = {f"{name}.{end}" for end in coil.ends} if coil is not None else set()
    asked = card.setting in ("calling", "starting") and card.instrument == VOLTS.name
    return asked and bool(ends) and {card.red, card.black} == ends


_TELLS: Mapping[str, _Tells] = {
    mark("Seen and heard at the start"): is_seen_at_start,
    mark("Supply and its sag"): _is_supply,
    mark("Coil"): _is_coil,
    mark("Delay"): lambda _, card: card.id == SECONDS,
    mark("Amps"): lambda _, card: card.clamped and card.setting in ("calling", "standby"),
    mark("Capacitor under load"): lambda _, card: card.under_load,
    mark("Contacts and joints"): lambda _, card: (
        card.quantity == "drop" and card.setting == "calling" and card.instrument == FINE_VOLTS.name
    ),
    mark("Insulation, unit dead"): lambda _, card: card.quantity == "megohms",
}
