"""The wood: which board every part comes from, what to buy, how it moves."""
