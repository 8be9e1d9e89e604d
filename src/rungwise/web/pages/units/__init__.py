"""The units: a list, and each with its nameplate, its pictures in every state, and its history."""
