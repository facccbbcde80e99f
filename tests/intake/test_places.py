"""The row of every table and key of a TOML text."""

from stopwright.intake.places import row_at, rows_of

TEXT = '''# a job
name = "x"  # [[part]]
note = """
[[joint]]
side = 1
"""
part = [
    { mark = "A", name = "[" },

    { mark = "B" },
]
[[station]]
"odd.name" = 3
bits = [
  6,
  8,
]
  [[station.axis]]
  low = 4
  [[station.axis]]
  low = 5
[[station]]
  [[station.axis]]
  low = 6
[tenon]
fit.nominal = 1
'''


def test_a_key_is_found_in_its_own_table() -> None:
    rows = rows_of(TEXT)
    lines = TEXT.split("\n")
    for path, line in [
        (("name",), 'name = "x"  # [[part]]'),
        (("part", 1), '    { mark = "B" },'),
        (("part", 1, "mark"), '    { mark = "B" },'),
        (("station", 0, "odd.name"), '"odd.name" = 3'),
        (("station", 0, "axis", 1, "low"), "  low = 5"),
        (("station", 1, "axis", 0, "low"), "  low = 6"),
        (("station", 1, "kerf"), "[[station]]"),
        (("tenon", "fit", "nominal"), "fit.nominal = 1"),
        (("tenon", "play"), "[tenon]"),
    ]:
        assert lines[row_at(path, rows) - 1] == line
    assert row_at(("joint", 0, "side"), rows) == 1  # within a text there are no tables
