"""The checks that can be made on a unit, from its parts: each a card and a reader.

Check ids are made of the instrument's word, the part and its terminals, such as `volts-coil` or
`ohms-compressor-C-R`: `address.py` derives them from what a check reads.
"""

from __future__ import annotations

from collections import Counter

from rungwise.diagnosis.address import addressed
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks_across import across_contacts
from rungwise.diagnosis.checks_amps import amps_checks
from rungwise.diagnosis.checks_dead import dead_checks
from rungwise.diagnosis.checks_leg import leg_drops
from rungwise.diagnosis.checks_live import live_checks
from rungwise.diagnosis.checks_load import direct_volts, electronic_motors, load_microfarads
from rungwise.diagnosis.checks_look import look_checks
from rungwise.unit import Unit


def checks_of(unit: Unit) -> tuple[Check, ...]:
    """Every check that this unit's parts offer, looks first, then dead, then live.

    Raises ValueError where two checks have one id: then one of them would stand for both.
    """
    live = (
        *live_checks(unit),
        *amps_checks(unit),
        *electronic_motors(unit),
        *direct_volts(unit),
        *across_contacts(unit),
        *leg_drops(unit),
    )
    made = (*look_checks(unit), *dead_checks(unit), *live, *load_microfarads(unit))
    found = tuple(addressed(unit, check) for check in made)
    count = Counter(check.card.id for check in found)
    twice = [name for name, times in count.items() if times > 1]
    if twice:
        raise ValueError(f"checks of one id: {', '.join(twice)}")
    return found
