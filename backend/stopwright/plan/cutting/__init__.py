"""How boards and sheets are cut up: columns, bounds, search. The doors are `plan/boards.py` and `plan/sheets.py`."""
