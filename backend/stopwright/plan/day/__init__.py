"""The day: when every run falls, what goes on while the glue sets, when clamps come free."""
