"""Joints: every slot, which side lies down, how the mortiser is set, loose tenons, the master piece."""
