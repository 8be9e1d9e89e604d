"""Another world to be judged by: houses, faults and readings that the engine had no hand in.

It shares the description of an arrangement with the rest, names of parts, kinds and wires, and
nothing else: its own elements and solver, machines, switching, values, faults and meters.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.other_world.asks import Amps, Ask, Leads, Live, LoadMicrofarads, Look, Volts
    from rungwise.other_world.case import CLASSES, Case, CaseClass, Truth, draw_case, draw_class
    from rungwise.other_world.isolation_case import (
        FAMILIES,
        SCOPES,
        IsolationCase,
        draw_isolation_case,
    )
    from rungwise.other_world.isolation_judge import DANGERS, judge
    from rungwise.other_world.loose_cabinet import COLORS, LooseCabinet, Tag, draw_cabinet
    from rungwise.other_world.meters import Hands
    from rungwise.other_world.parts import known
    from rungwise.other_world.repaired import Gauges, Repair, draw_repair, gauges_of
    from rungwise.other_world.spice_text import apart_volt
    from rungwise.other_world.technician import OtherTechnician
    from rungwise.other_world.wired import ARRANGEMENTS
    from rungwise.other_world.written_plan import Refusal, ToldPlan, told_plan
else:
    __getattr__ = door(__name__)
