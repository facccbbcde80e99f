"""The shop: its stations, what it has learned, which phones are paired."""
