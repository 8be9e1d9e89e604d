"""What comes after the repair: trends, lives, weights of the faults, stock and visits."""
