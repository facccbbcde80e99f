"""From a part list to the fewest machine settings, each made once."""
