"""Proof: after the repair, does the unit do its work, and does nothing hide behind the repair?"""
