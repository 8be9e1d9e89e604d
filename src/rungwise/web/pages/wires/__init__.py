"""The wires of the part that comes out: as found, the moves, as left."""
