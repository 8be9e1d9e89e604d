"""Another world to be judged by: houses, faults and readings that the engine had no hand in.

It shares the description of an arrangement with the rest, names of parts, kinds and wires, and
nothing else: its own elements and solver, machines, switching, values, faults and meters.
"""

from rungwise.other_world.asks import Amps, Ask, Leads, Live, LoadMicrofarads, Look, Volts
from rungwise.other_world.case import CLASSES, Case, CaseClass, Truth, draw_case, draw_class
from rungwise.other_world.meters import Hands
from rungwise.other_world.repaired import Gauges, Repair, draw_repair, gauges_of
from rungwise.other_world.spice_text import apart_volt
from rungwise.other_world.technician import OtherTechnician

__all__ = [
    "CLASSES",
    "Amps",
    "Ask",
    "Case",
    "CaseClass",
    "Gauges",
    "Hands",
    "Leads",
    "Live",
    "LoadMicrofarads",
    "Look",
    "OtherTechnician",
    "Repair",
    "Truth",
    "Volts",
    "apart_volt",
    "draw_case",
    "draw_class",
    "draw_repair",
    "gauges_of",
]
