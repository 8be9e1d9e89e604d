"""Sizes of circuits by the National Electrical Code, NFPA 70: tables as data, rules as functions.

Each table says which edition it follows, where it was seen, and how sure that is.  Local codes
come first, and a code is read by those who are licensed for it; these figures help to check.
"""
