"""The commands that keep: copies of everything, and whole jobs from one shop to another."""

from pathlib import Path

import pytest

from stopwright.actions.jobs.keeping import create_job, jobs
from stopwright.cli import BAD_INPUT, DONE, main
from stopwright.store.log import Store

Shown = pytest.CaptureFixture[str]


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    folder = tmp_path / "shop"
    folder.mkdir()
    with Store.open(folder / "shop.sqlite") as store:
        create_job(store, {"name": "Six bakery stools", "part": []}, "bench")
        create_job(store, {"name": "Drawers", "part": []}, "bench")
    return folder


def names(folder: Path) -> list[str]:
    with Store.open(folder / "shop.sqlite") as store:
        return sorted(card.name for card in jobs(store))


def test_a_copy_brings_everything_back_and_sets_aside_what_stood_there(
    shop: Path, tmp_path: Path, capsys: Shown
) -> None:
    copy = tmp_path / "copy.sqlite"
    assert main(["backup", str(copy), "--data", str(shop)]) == DONE
    with Store.open(shop / "shop.sqlite") as store:
        create_job(store, {"name": "Bench", "part": []}, "bench")
    assert main(["restore", str(copy), "--data", str(shop)]) == DONE
    assert "kept in" in capsys.readouterr().out
    assert names(shop) == ["Drawers", "Six bakery stools"]


def test_a_copy_is_restored_where_nothing_stands_yet(shop: Path, tmp_path: Path) -> None:
    main(["backup", str(tmp_path / "copy"), "--data", str(shop)])
    assert main(["restore", str(tmp_path / "copy"), "--data", str(tmp_path / "new")]) == DONE
    assert names(tmp_path / "new") == ["Drawers", "Six bakery stools"]


def test_a_job_goes_as_one_file_into_an_empty_shop(shop: Path, tmp_path: Path, capsys: Shown) -> None:
    file, other = str(tmp_path / "stools.json"), str(tmp_path / "other")
    assert main(["export-job", "1", file, "--data", str(shop)]) == DONE
    assert main(["import-job", file, "--data", other]) == DONE
    assert "Job 1; the labels on its pieces hold" in capsys.readouterr().out
    assert main(["import-job", file, "--data", other]) == DONE
    assert "Job 2; its number was taken: print its labels anew" in capsys.readouterr().out
    assert names(Path(other)) == ["Six bakery stools", "Six bakery stools"]


def test_what_cannot_be_done_is_one_sentence(shop: Path, tmp_path: Path, capsys: Shown) -> None:
    there = tmp_path / "there"
    there.write_text("{}")
    data = ["--data", str(shop)]
    for arguments in (
        ["backup", str(there), *data],
        ["backup", str(tmp_path / "x"), "--data", str(tmp_path / "empty")],
        ["restore", str(there), *data],
        ["restore", str(tmp_path / "none"), *data],
        ["export-job", "9", str(tmp_path / "x"), *data],
        ["export-job", "1", str(there), *data],
        ["import-job", str(there), *data],
        ["import-job", str(tmp_path / "none"), *data],
        ["serve", "--name", "not a name", *data],
    ):
        assert main(arguments) == BAD_INPUT, arguments
        out, err = capsys.readouterr()
        assert not out and len(err.splitlines()) == 1, arguments
    assert names(shop) == ["Drawers", "Six bakery stools"] and there.read_text() == "{}"


def test_what_is_wrong_with_the_log_is_not_said_of_the_copy(shop: Path, tmp_path: Path, capsys: Shown) -> None:
    (shop / "shop.sqlite").write_bytes(b"no log at all" * 100)
    assert main(["backup", str(tmp_path / "copy"), "--data", str(shop)]) == BAD_INPUT
    assert capsys.readouterr().err.startswith(f"{shop / 'shop.sqlite'}: the file is not a log of this program")
    assert list(tmp_path.iterdir()) == [shop]
