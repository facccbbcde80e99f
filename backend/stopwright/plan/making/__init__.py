"""Things to make: one file a kind, from a few measures to parts, cuts and joints, every formula with its source.

`known.py` finds them. A file defines `KIND`: the dataclass that a job asks for, and the function that works it out.
"""
