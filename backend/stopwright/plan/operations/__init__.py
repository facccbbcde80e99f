"""Operations: one file for each kind of cut, with all there is to say about it. `known` finds them.

A file defines `OPERATION`. What a job asks for, the stops it needs, the setups, what it takes and gives, its cautions,
reasons and picture stand in it and nowhere else; a part that is forgotten is an error when the file is imported.
"""
