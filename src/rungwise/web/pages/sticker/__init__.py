"""Stickers with a unit's code, and opening a unit by a photo of its code."""
