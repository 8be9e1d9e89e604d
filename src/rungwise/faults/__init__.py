"""What may be wrong with a unit: its fault modes as edits of the circuit, with their weights."""

from rungwise.faults.misplaced import mix_up
from rungwise.faults.suspect import Edit, FaultStep, Suspect, fault_steps
from rungwise.faults.suspect_set import SuspectSet

__all__ = ["Edit", "FaultStep", "Suspect", "SuspectSet", "fault_steps", "mix_up"]
