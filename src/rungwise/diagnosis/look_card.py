"""The card of a look, in the form that all looks share."""

from __future__ import annotations

from rungwise.diagnosis.check import UNNAMED, Check
from rungwise.diagnosis.fault_table import LOOK_AT, CheckCard
from rungwise.diagnosis.visual_checks import Look
from rungwise.parts import Caution
from rungwise.wording import mark

ON_CALL: str = mark("thermostat calling for cooling")
ON_HEAT: str = mark("thermostat calling for heat")
IN_DEFROST: str = mark(
    "in a defrost, begun by test pins on a call for heat, or by the timer's dial"
)
IDLE: str = mark("thermostat off, supplies on")
COOLED: str = mark("started again once the compressor has cooled")
DEAD: str = mark("power off, verified")
EYES: str = mark("eyes and ears")
LOOKING: str = mark("looking, nothing touched")


def look_check(  # noqa: PLR0913  # the fields of a card, by name
    thing: str,
    title: str,
    choices: tuple[str, ...],
    look: Look,
    *,
    minutes: float = 0.5,
    condition: str = LOOKING,
    touches: tuple[str, ...] = (),
    cautions: tuple[Caution, ...] = (),
    instrument: str = EYES,
    risk: float = 0.0,
) -> Check:
    """A look with its card. thing: what is looked at, the rest of the card's quantity.

    risk: in minutes, of one that is made on live terminals.
    """
    card = CheckCard(
        UNNAMED,
        title,
        "choice",
        choices,
        minutes=minutes,
        condition=condition,
        risk=risk,
        live=risk > 0.0,
        instrument=instrument,
        cautions=cautions,
        quantity=f"{LOOK_AT}{thing}",
        touches=touches,
    )
    return Check(card, look=look)
