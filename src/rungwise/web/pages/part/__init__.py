"""The part: which of the van's serve in this unit, and which one is fitted."""
