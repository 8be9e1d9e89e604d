"""Signing a call off: what the customer reads, the record behind it, and who signed."""
