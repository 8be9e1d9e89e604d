"""Proving a repair: the first start, the checks worth making, and what each reading says."""
