"""What records know of a call besides its file: who and when, steps, photos, signatures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from rungwise.diagnosis import ByHand
from rungwise.report.content import Zone


@dataclass(frozen=True)
class Shot:
    """A photo with its content. told: what it is of."""

    content: bytes
    told: str
    by: str


@dataclass(frozen=True)
class Extras:
    """Everything that a call's file does not hold; a paper is whole without it.

    taken: who and when for each outcome of the call, in its order; "" where it is not known.
    proved: likewise by the check of the proof. fitted: likewise by the place of the part.
    unread: outcomes that were typed and cannot be used, in words. zones: steps of making dead as
    ticked. moves: of wires, as ticked. started: of the first start. note: written on the call.
    told: what the customer was told; signed_by, received_by: who gave and who took it.
    foreseen: what is near its end by the unit's own history. prices: lines "what: amount".
    by_hand: what the shop wrote for the customer's page. phone: the shop's.
    """

    shop: tuple[str, ...] = ()
    place: str = ""
    people: tuple[str, ...] = ()
    taken: tuple[str, ...] = ()
    proved: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    fitted: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    unread: tuple[str, ...] = ()
    zones: tuple[Zone, ...] = ()
    moves: tuple[str, ...] = ()
    started: tuple[str, ...] = ()
    photos: tuple[Shot, ...] = ()
    note: str = ""
    told: str = ""
    signed_by: str = ""
    received_by: str = ""
    foreseen: tuple[str, ...] = ()
    prices: str = ""
    by_hand: ByHand = field(default_factory=ByHand)
    phone: str = ""
