"""The contactor with a block of auxiliary contacts: 13-14 closes and 21-22 opens with its plunger.

Numbers as IEC 60947-5-1 has them (from memory): 13-14 normally open, 21-22 normally closed.
"""

from __future__ import annotations

from dataclasses import replace

from rungwise.parts.contactor import PLUNGER_IN, contactor
from rungwise.parts.element import both, contact, either, negate, value
from rungwise.parts.facets import Terminals
from rungwise.parts.kind import Mode, Parameter, PartKind, handle
from rungwise.parts.pictures import Piece, Stand, Symbol
from rungwise.parts.seen import Look, Looks, Probes
from rungwise.parts.trade import Facet
from rungwise.parts.ways import Repair
from rungwise.parts.words import Plain, Words

OPENS, CLOSES = ("21", "22"), ("13", "14")

_READ = frozenset({"ohms", "volts"})
_REPAIR = Repair(
    "auxiliary",
    "with the plunger out read the volts across 21 and 22, then their ohms with a lead off; "
    "replace the auxiliary block, or the {noun} with one that has it",
    60.0,
)

_CONTACT_OHM = Parameter(
    "auxiliary_ohm", "Ω", 0.02, 1e-3, 1.0, "closed auxiliary contact",
    tolerance=0.5, untold=0.9, learned=False,
)  # fmt: skip

_ELEMENTS = (
    *contact(
        "auxiliary_opens",
        *OPENS,
        ohm=value("auxiliary_ohm"),
        closed=either(
            both(negate(PLUNGER_IN), negate(value("opens_burnt")), negate(value("block_off"))),
            value("opens_welded"),
        ),
    ),
    *contact(
        "auxiliary_closes",
        *CLOSES,
        ohm=value("auxiliary_ohm"),
        closed=both(PLUNGER_IN, negate(value("closes_burnt")), negate(value("block_off"))),
    ),
)


def _mode(
    name: str,
    title: str,
    weight: float,
    shown_by: frozenset[str],
    *,
    behind: str = "",
    signs: dict[str, float] | None = None,
) -> Mode:
    return _REPAIR.mode(name, title, weight, behind=behind, signs=signs or {}, shown_by=shown_by)


_MODES = (
    _mode("opens_burnt", "{noun}'s auxiliary contact 21-22 burnt open", 4.0, _READ),
    _mode("closes_burnt", "{noun}'s auxiliary contact 13-14 burnt open", 4.0, _READ),
    _mode("block_off", "{noun}'s auxiliary block is missing or not pressed", 10.0,
          _READ | {"look:block"}, behind="lost when the contactor was changed",
          signs={"block_off": 0.9, "recent_work": 0.7}),
    _mode("opens_welded", "{noun}'s auxiliary contact 21-22 welded", 1.0, _READ),
)  # fmt: skip

_WORDS = {
    "opens_burnt": Plain("A small contact on the {noun} was burnt.", "replace that contact"),
    "closes_burnt": Plain("A small contact on the {noun} was burnt.", "replace that contact"),
    "block_off": Plain("A small contact on the {noun} was missing.", "fit that contact"),
    "opens_welded": Plain("A small contact on the {noun} stuck.", "replace that contact"),
}
_BLOCK = Look(
    "block_off", "block", "is the auxiliary block on the contactor, its tongue on the plunger?",
    ("there", "missing or loose"),
)  # fmt: skip


_PIECES = (
    Piece("auxiliary_opens", OPENS, ("contact_nc",), ("auxiliary_opens",), through=True,
          aside="auxiliary"),
    Piece("auxiliary_closes", CLOSES, ("contact",), ("auxiliary_closes",), through=True,
          aside="auxiliary"),
)  # fmt: skip


def _with_block(facet: Facet) -> Facet:
    """A contactor's facet with the block added to it."""
    made = facet
    match facet:
        case Terminals():
            ends = dict.fromkeys((*OPENS, *CLOSES), ("tab",) * 2)
            sides = (*facet.sides, ("auxiliary block", (*OPENS, *CLOSES)))
            made = replace(facet, places={**facet.places, **ends}, sides=sides)
        case Stand():
            made = replace(facet, left=(*OPENS, *CLOSES))
        case Symbol():
            made = Symbol((*facet.pieces, *_PIECES))
        case Words():
            made = replace(facet, modes={**facet.modes, **_WORDS})
        case Probes():
            made = replace(facet, apart=(*facet.apart, OPENS, CLOSES), across=(OPENS, CLOSES))
        case Looks():
            made = replace(facet, marks=(*facet.marks, _BLOCK))
    return made


def with_auxiliary(kind: PartKind, title: str) -> PartKind:
    """A contactor of that kind with one contact that opens and one that closes beside its poles."""
    handles = (
        handle("opens_burnt", "contact 21-22 never conducts"),
        handle("closes_burnt", "contact 13-14 never conducts"),
        handle("block_off", "the auxiliary block is not there"),
        handle("opens_welded", "contact 21-22 never opens"),
    )
    return replace(
        kind,
        name=f"{kind.name}_aux",
        title=title,
        terminals=(*kind.terminals, *OPENS, *CLOSES),
        parameters=(*kind.parameters, _CONTACT_OHM, *handles),
        elements=(*kind.elements, *_ELEMENTS),
        facets=tuple(_with_block(facet) for facet in kind.facets),
        modes=(*kind.modes, *_MODES),
    )


KINDS = (
    with_auxiliary(
        contactor(2, "two-pole contactor"), "two-pole contactor with auxiliary contacts"
    ),
    with_auxiliary(
        contactor(3, "three-pole contactor"), "three-pole contactor with auxiliary contacts"
    ),
)
