"""What may be wrong with a unit: its fault modes as edits of the circuit, with their weights."""

from rungwise.suspects.suspect import Edit, Suspect
from rungwise.suspects.suspect_set import SuspectSet

__all__ = ["Edit", "Suspect", "SuspectSet"]
