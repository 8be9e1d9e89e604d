"""Rungwise: work a no-cool call by solving the unit's circuit.

Importing the package loads nothing heavy; each room is imported where it is used.
"""

__version__ = "0.1.0"
