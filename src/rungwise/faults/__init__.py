"""What may be wrong with a unit: its fault modes as edits of the circuit, with their weights."""

from rungwise.faults.suspect import Edit, Suspect
from rungwise.faults.suspect_set import SuspectSet

__all__ = ["Edit", "Suspect", "SuspectSet"]
