"""What a shop's closed calls make of the start weights of one unit's suspects."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from rungwise.diagnosis import Call, OwnWeights, learned_ratios
from rungwise.errors import BadCallFile
from rungwise.maintenance import ClosedCall, ShopWeights, learn_weights, read_shop, start_weights
from rungwise.services.history.shop_calls import age_y
from rungwise.services.runtime.result_cache import RESULTS
from rungwise.unit import Unit
from rungwise.wording import mark


def own_weights(
    unit: Unit, calls: Sequence[ClosedCall], unit_age_y: float | None
) -> OwnWeights | None:
    """The weights for a unit of that age, None for any; None where the shop has closed no call."""
    if not calls:
        return None
    kinds = frozenset(block.kind.name for block in unit.blocks())
    weights = _learned(tuple(calls), kinds).for_unit(unit, unit_age_y)
    ratios = learned_ratios((call.kind, call.mode, call.complaint) for call in calls)
    return OwnWeights(len(calls), unit_age_y, tuple(weights.items()), tuple(ratios.items()))


def of_shop_file(call: Call, unit: Unit) -> OwnWeights | None:
    """The weights from the shop file that a call file names, None where it names none.

    Raises BadCallFile when the shop file is not there, BadShopFile when it cannot be used.
    """
    if not call.shop:
        return None
    path = Path(call.document.file).parent / call.shop
    if not path.is_file():
        raise BadCallFile(
            what=mark("The shop file of this call is not there."),
            file=call.document.file,
            line=call.document.line_of(("shop",)),
            key="shop",
            value=call.shop,
            next_step=mark("write its path as seen from the call file"),
        )
    return own_weights(unit, read_shop(path).history.calls, age_y(call.installed, unit, call.date))


@RESULTS.shelf("weights of the shop").memo
def _learned(calls: tuple[ClosedCall, ...], kinds: frozenset[str]) -> ShopWeights:
    """What the calls teach. kinds: of the unit at hand; the shop has met those of its calls too."""
    return learn_weights(start_weights(kinds | {call.kind for call in calls}), calls)
