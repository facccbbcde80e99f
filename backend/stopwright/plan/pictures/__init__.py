"""Drawings of what lies at the machine, in strokes and words; how they are shown is decided elsewhere."""
