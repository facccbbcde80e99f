"""Who gets in, and how the program is served."""
