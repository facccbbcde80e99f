"""Every file in fixtures/bad holds one fault, named by the file, and is refused with its place and the next step."""

from pathlib import Path

import pytest

from stopwright.errors import BadInput
from stopwright.intake.job_file import read_job
from stopwright.intake.shop_file import read_shop

BAD = Path(__file__).parents[2] / "fixtures" / "bad"
FILES = sorted(path for path in BAD.rglob("*") if path.is_file())


def test_there_are_bad_files_of_every_make() -> None:
    assert {path.suffix for path in FILES} >= {".csv", ".xlsx", ".toml"}
    assert len([path for path in FILES if path.parent.name == "shops"]) >= 20


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(BAD)))
def test_a_bad_file_is_refused_with_place_and_next_step(path: Path) -> None:
    read = read_shop if path.parent.name == "shops" else read_job
    with pytest.raises(BadInput) as error:
        read(path)
    assert error.value.faults
    for fault in error.value.faults:
        assert fault.file.startswith(str(BAD))
        assert fault.row >= 1
        assert fault.column
        assert fault.what
        assert fault.next_step
        assert "\n" not in str(fault)


@pytest.mark.parametrize(
    ("name", "row", "column", "said"),
    [
        ("negative-length.csv", 2, "length", "'-450'"),
        ("mark-used-twice.csv", 3, "mark", "row 2"),
        ("joint-with-a-part-that-is-not-there.toml", 21, "joint post", "part X"),
        ("joint-on-an-unknown-side.toml", 23, "joint side", "'far egde'"),
        ("twin-slots-that-run-into-each-other.toml", 29, "joint apart", "run into each other"),
        ("misspelt-key.toml", 2, "lenghts", "'lenghts'"),
        ("unknown-table.toml", 4, "wardrobe", "'wardrobe'"),
        ("zone-beyond-the-board.toml", 24, "stock zone 1", "zone"),
        ("drawer-slides-wider-than-the-opening.toml", 5, "drawer width", "would be −29.4 mm"),
        ("change-of-a-part-that-nothing-makes.toml", 10, "changed of", "mark Dx"),
        ("part-list-not-there.toml", 2, "part_list", "'not-there.csv'"),
        ("shops/two-axes-of-one-name.toml", 10, "station axis 2", "are called"),
        ("shops/key-twice.toml", 7, "character 9", "TOML"),
        ("shops/day-that-ends-before-it-begins.toml", 10, "day end", "07:30 is not after its beginning, 16:30"),
        ("shops/breaks-that-overlap.toml", 11, "day breaks", "12:00-12:30 and 12:15-13:00 overlap"),
        ("shops/less-than-no-clamps.toml", 10, "clamps count", "-4 is not from 1"),
        ("shops/less-than-no-bench.toml", 2, "bench_places", "-1 is not from 0"),
        ("shops/spares-in-words.toml", 9, "tenon spares", "'some'"),
    ],
)
def test_a_fault_stands_at_its_row(name: str, row: int, column: str, said: str) -> None:
    with pytest.raises(BadInput) as error:
        (read_shop if name.startswith("shops/") else read_job)(BAD / name)
    fault = error.value.faults[0]
    assert (fault.row, fault.column) == (row, column)
    assert said in fault.what
