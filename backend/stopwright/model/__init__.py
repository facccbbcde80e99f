"""What there is: parts, wood, stations, joints. Frozen, checked at construction, no input or output."""
