"""Making the unit dead: the steps to tick, what each reading says, and what is still live."""
