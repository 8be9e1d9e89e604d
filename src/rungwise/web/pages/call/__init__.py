"""A call: the looks, the next check, the readings, the suspects."""
