"""Jobs: kept, edited, planned, printed, worked together."""
