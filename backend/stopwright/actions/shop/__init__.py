"""The shop: its stations, what it has learned, who is let in."""
