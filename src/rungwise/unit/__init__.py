"""The unit: its parts, terminals, wires, joints and ratings, and the file they are read from."""
