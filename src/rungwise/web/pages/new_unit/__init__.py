"""A new unit: its arrangement, then its nameplate, each field kept as it is left."""
