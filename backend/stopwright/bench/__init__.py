"""How good and how fast it is: `python -m stopwright.bench` measures, prints a table and compares two runs."""
