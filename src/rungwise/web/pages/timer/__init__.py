"""A timer without script: its page tells the clock time of its end."""
