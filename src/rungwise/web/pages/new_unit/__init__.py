"""The nameplate of a unit, each field kept as it is left."""
