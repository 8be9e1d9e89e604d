"""A new unit from plain questions or its wiring label, its wires afterwards, the shop's own."""
