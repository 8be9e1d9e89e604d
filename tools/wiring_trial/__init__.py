"""Misplaced wires tried one by one, and what ngspice makes of the same wirings."""
