"""What may be wrong with a unit: its fault modes as edits of the circuit, with their weights."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.faults.misplaced import mix_up, swaps
    from rungwise.faults.not_electrical import WHOLE
    from rungwise.faults.repair_order import FirstWork, first_work
    from rungwise.faults.spreads import SPREAD_LIMIT, Layout
    from rungwise.faults.suspect import (
        Edit,
        FaultStep,
        RepairStep,
        Suspect,
        fault_steps,
        first_mode,
        repair_steps,
    )
    from rungwise.faults.suspect_set import HEALTHY, SuspectSet
    from rungwise.faults.weights import is_field_wire, wire_weight
else:
    __getattr__ = door(__name__)
