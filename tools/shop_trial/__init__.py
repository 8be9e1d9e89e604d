"""A simulated shop whose truth is known, to try the estimates on. It shares no code with them."""
