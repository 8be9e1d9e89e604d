"""Wires that were pulled off without a record: what to measure next, and where each one goes."""
