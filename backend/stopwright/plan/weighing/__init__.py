"""Plans against each other: alternatives, what a constraint costs, why a run stands where it stands."""
