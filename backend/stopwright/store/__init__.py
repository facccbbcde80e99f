"""What happened, kept for ever: append-only events in SQLite, and folds over them."""
