"""The pages of pieces: labels, scanning, remakes, glue-up."""
