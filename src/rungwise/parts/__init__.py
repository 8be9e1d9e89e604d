"""The part kinds that Rungwise knows; a new kind is one new file in this folder."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from rungwise.door import door
from rungwise.parts.kind import PartKind
from rungwise.parts.trade import Facet

if TYPE_CHECKING:
    from rungwise.parts.caution import SIGNALS, Caution, Line, Signal, line_of, worst_first
    from rungwise.parts.element import (
        AS_WOUND,
        EARTH,
        STAR,
        Branch,
        Coupled,
        Expr,
        FloatArray,
        Frame,
        Machine,
        Phasor,
        value,
    )
    from rungwise.parts.facets import (
        CONTROL_SIGNALS,
        Capacitor,
        Coil,
        Conductor,
        Control,
        ElectronicMotor,
        Families,
        Family,
        Heater,
        Junction,
        MixedUp,
        Motor,
        OpensOn,
        Overcurrent,
        Pole,
        Poles,
        Section,
        Supply,
        Terminals,
        Timer,
        Transformer,
    )
    from rungwise.parts.heat_facets import Burner, Defrosts, Feeds, Ignites, Reverses, Stages
    from rungwise.parts.joint_work import JOINTS, PLACES_ON_A_TERMINAL, work_for
    from rungwise.parts.kind import Draw, Mode, Parameter, State
    from rungwise.parts.limits import (
        CAPACITOR,
        COIL_OHM,
        CONTACT_DROP,
        INSULATION,
        LIVE_VOLT,
        LOCKED_AMPS_SHARE,
        METAL_OHM,
        NEUTRAL_TO_GROUND,
        PLATE_SHARE_LOW,
        PRACTICE,
        R_TO_C_LEAST_V,
        R_TO_C_V,
        SUPPLY_SHARE,
        WIRE_DROP,
        Grade,
        Limit,
        typical_share_of_plate,
    )
    from rungwise.parts.load import (
        CAPACITOR_OVER_VOLT,
        COIL_OVER_VOLT,
        HEARD_LOCKED_SHARE,
        HEATER_OVER_WATT,
        HEATS_SHARE,
        RUNNING_SLIP,
        SEEN_TURNING_SLIP,
        Codes,
        Does,
        coil_does,
        electronic_does,
        heater_does,
        motor_does,
    )
    from rungwise.parts.motor import NEEDS_KIT_START_RATIO
    from rungwise.parts.names import (
        conductors_of,
        end_mark,
        pair_name,
        part_of,
        split_end,
        terminal_of,
    )
    from rungwise.parts.packages import PACKAGES, Package, PackagePart
    from rungwise.parts.passive import SPLICE
    from rungwise.parts.phase_rule import PhaseRule
    from rungwise.parts.pictures import Mark, Piece, Sign, Stand, Symbol
    from rungwise.parts.residual_breaker import RESIDUAL_A
    from rungwise.parts.rule import Rule, Side, Wish, refuse_unknown
    from rungwise.parts.seen import Look, Looks, Probes
    from rungwise.parts.trade import (
        FAMILIES,
        WIRING,
        Against,
        Label,
        LabelFigure,
        Ratings,
        Way,
        Wear,
        WearFamily,
    )
    from rungwise.parts.wire import (
        ALTERNATE,
        HIGH_RESISTANCE,
        PAIR,
        RUBBED,
        WIRE,
        awg_area_mm2,
        copper_ohm,
    )
    from rungwise.parts.words import SOMETHING, LeaveOff, Plain, Words

F = TypeVar("F", bound=Facet)

__all__ = [
    "ALTERNATE",
    "AS_WOUND",
    "CAPACITOR",
    "CAPACITOR_OVER_VOLT",
    "COIL_OHM",
    "COIL_OVER_VOLT",
    "CONTACT_DROP",
    "CONTROL_SIGNALS",
    "EARTH",
    "FAMILIES",
    "HEARD_LOCKED_SHARE",
    "HEATER_OVER_WATT",
    "HEATS_SHARE",
    "HIGH_RESISTANCE",
    "INSULATION",
    "JOINTS",
    "KINDS",
    "LIVE_VOLT",
    "LOCKED_AMPS_SHARE",
    "METAL_OHM",
    "NEEDS_KIT_START_RATIO",
    "NEUTRAL_TO_GROUND",
    "PACKAGES",
    "PAIR",
    "PLACES_ON_A_TERMINAL",
    "PLATE_SHARE_LOW",
    "PRACTICE",
    "RESIDUAL_A",
    "RUBBED",
    "RUNNING_SLIP",
    "R_TO_C_LEAST_V",
    "R_TO_C_V",
    "SEEN_TURNING_SLIP",
    "SIGNALS",
    "SOMETHING",
    "SPLICE",
    "STAR",
    "SUPPLY_SHARE",
    "WIRE",
    "WIRE_DROP",
    "WIRING",
    "Against",
    "Branch",
    "Burner",
    "Capacitor",
    "Caution",
    "Codes",
    "Coil",
    "Conductor",
    "Control",
    "Coupled",
    "Defrosts",
    "Does",
    "Draw",
    "ElectronicMotor",
    "Expr",
    "Facet",
    "Families",
    "Family",
    "Feeds",
    "FloatArray",
    "Frame",
    "Grade",
    "Heater",
    "Ignites",
    "Junction",
    "Label",
    "LabelFigure",
    "LeaveOff",
    "Limit",
    "Line",
    "Look",
    "Looks",
    "Machine",
    "Mark",
    "MixedUp",
    "Mode",
    "Motor",
    "OpensOn",
    "Overcurrent",
    "Package",
    "PackagePart",
    "Parameter",
    "PartKind",
    "PhaseRule",
    "Phasor",
    "Piece",
    "Plain",
    "Pole",
    "Poles",
    "Probes",
    "Ratings",
    "Reverses",
    "Rule",
    "Section",
    "Side",
    "Sign",
    "Signal",
    "Stages",
    "Stand",
    "State",
    "Supply",
    "Symbol",
    "Terminals",
    "Timer",
    "Transformer",
    "Way",
    "Wear",
    "WearFamily",
    "Wish",
    "Words",
    "awg_area_mm2",
    "coil_does",
    "conductors_of",
    "copper_ohm",
    "electronic_does",
    "end_mark",
    "heater_does",
    "kind_having",
    "line_of",
    "motor_does",
    "pair_name",
    "part_of",
    "refuse_unknown",
    "split_end",
    "terminal_of",
    "typical_share_of_plate",
    "value",
    "work_for",
    "worst_first",
]

__getattr__ = door(__name__)


def _collect() -> dict[str, PartKind]:
    kinds: dict[str, PartKind] = {}
    for module in pkgutil.iter_modules(__path__):
        found = importlib.import_module(f"{__name__}.{module.name}")
        kinds.update({kind.name: kind for kind in getattr(found, "KINDS", ())})
    return kinds


KINDS: dict[str, PartKind] = _collect()
"""Every part kind by its name."""


def kind_having(sort: type[F], alike: Callable[[F], bool]) -> PartKind:
    """The first kind with such a facet; raises LookupError where no kind has one."""
    for kind in KINDS.values():
        facet = kind.facet(sort)
        if facet is not None and alike(facet):
            return kind
    raise LookupError(f"no kind has such a {sort.__name__}")
