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
    from rungwise.parts.joint_work import (
        JOINT_WORDS,
        JOINTS,
        PLACE_WORDS,
        PLACES_ON_A_TERMINAL,
        work_for,
    )
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
        drawn_mark,
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
    from rungwise.parts.refrigeration import (
        COIL_CEILING_C,
        COIL_FLOOR_C,
        CONDENSING_C,
        EVAPORATING_C,
        HIGH_SIDE_S,
        LOW_SIDE_S,
        air_flow,
        condensing_c,
        evaporating_c,
        saturation_c,
        seconds_to,
    )
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
else:
    __getattr__ = door(__name__)

F = TypeVar("F", bound=Facet)


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
