"""What a shop has on record, as maintenance and the start weights read it."""
