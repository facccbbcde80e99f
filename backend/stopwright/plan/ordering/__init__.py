"""How the order of runs is found: exact for shop sizes, a search with a bound beyond. Door: `plan/sequence.py`."""
