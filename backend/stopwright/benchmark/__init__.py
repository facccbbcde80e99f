"""How good and how fast it is: `python -m stopwright.benchmark` measures, prints a table and compares two runs."""
