"""A nameplate read from a photo: each value beside its strip, kept once a person says so."""
