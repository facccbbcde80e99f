"""From the model to a run sheet. Pure: no clock, disk, network or chance."""
