"""Materials that come as sheets, by what lists call them: a question to ask, never an answer."""

import re

_WORDS = re.compile(
    r"\b(?:ply|plywood|multiplex|mdf|hdf|osb|chipboard|particle ?board|hardboard|fib(?:re|er) ?board|"
    r"block ?board|melamine|\w*sperrholz\w*|\w*spanplatte\w*|\w*faserplatte\w*|tischlerplatte\w*|"
    r"contreplaqu[ée]|agglom[ée]r[ée])\b",
    re.I,
)


def reads_like_sheet(material: str) -> bool:
    """True when a material is called as sheets are.

    >>> reads_like_sheet("oak ply"), reads_like_sheet("MDF 18"), reads_like_sheet("Birkensperrholz")
    (True, True, True)
    >>> reads_like_sheet("ash"), reads_like_sheet("poplar, multiply planed")
    (False, False)
    """
    return bool(_WORDS.search(material))
