"""What each station has to do: heights, widths, lengths, mitres, mouldings, and what to take care of."""
