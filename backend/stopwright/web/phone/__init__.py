"""The pages at the machine, what is tapped there and what they are told, and the board on the wall."""
