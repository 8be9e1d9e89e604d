"""Wires marked on a photo: touch a wire, its color is read, then its terminal."""
