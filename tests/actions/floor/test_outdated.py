"""A job that is changed after pieces were cut: which no longer fit and by how much, kept, or just they made again."""

from pathlib import Path
from typing import Any

import pytest
from tests.builders import mm

from stopwright.actions.floor.outdated import can_be_kept, keep_as_cut, make_again, outdated
from stopwright.actions.floor.remaking import remake_stands
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.editing import save_section
from stopwright.actions.jobs.keeping import create_job, job_document
from stopwright.actions.jobs.numbering import pieces_of
from stopwright.actions.jobs.planning import plan_for
from stopwright.errors import NotFound
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.store.events import Event, new_id
from stopwright.store.log import Store

SHOP = default_shop()
DRAWER = {"mark": "D", "width": "450", "height": "132.7", "depth": "400", "front": "16", "material": "oak"}
WOOD = [
    {"kind": "board", "length": "2400", "width": "200", "thickness": "24", "material": "oak"},
    {"kind": "sheet", "length": "1200", "width": "1200", "thickness": "6"},
]
RAIL = {"mark": "R", "name": "Rail", "quantity": 4, "length": "300", "width": "60", "thickness": "20"}


@pytest.fixture
def store(tmp_path: Path):
    with Store.open(tmp_path / "shop.db") as one:
        document = {"name": "Chest", "units": 4, "drawer": [DRAWER], "stock": WOOD, "part": [RAIL]}
        create_job(one, document, "bench")
        yield one


def planned(store: Store):
    return plan_for(store, "1", SHOP)


def cut(store: Store, mark: str, count: int, work: str = "crosscut") -> str:
    """Counts pieces at the first run of a work that has them, as the phone does; the run's id."""
    run = next(r for r in planned(store).sheet.runs if r.work == work and any(p.mark == mark for p in r.pieces))
    mirrored = next(p.mirrored for p in run.pieces if p.mark == mark)
    stops = [[stop.axis, stop.target] for stop in run.stops if isinstance(stop.target, int)]
    at = "2026-03-01T07:00:00.000Z"
    told = {"run": run.id, "station": run.station, "work": run.work, "stops": stops}
    body = {"run": run.id, "mark": mark, "count": count} | ({"mirrored": True} if mirrored else {})
    store.append(
        [Event(new_id(), "1", "stop set", at, "phone", told), Event(new_id(), "1", "piece cut", at, "phone", body)]
    )
    return run.id


def change(store: Store, **sections: Any) -> None:
    save_section(store, "1", sections, job_document(store, "1").version, "bench")


def said(store: Store) -> list[tuple[str, int, list[str]]]:
    found = outdated(store, "1", planned(store))
    return [(one.cut.mark, one.cut.count, [differs.words(Show.MM) for differs in one.differs]) for one in found]


def test_nothing_is_out_of_date_while_nothing_was_changed(store: Store) -> None:
    cut(store, "Df", 2)
    assert said(store) == []
    change(store, glue="hide glue")
    assert said(store) == []


def test_what_was_cut_before_the_opening_changed_no_longer_fits_and_says_by_how_much(store: Store) -> None:
    cut(store, "Df", 2)
    cut(store, "Ds", 3)
    change(store, drawer=[DRAWER | {"width": "455"}])
    assert said(store) == [("Df", 2, ["length 412.6 mm, now 417.6 mm: 5 mm too little"])]
    cut(store, "Df", 1)  # at the new stop
    assert said(store) == [("Df", 2, ["length 412.6 mm, now 417.6 mm: 5 mm too little"])]
    change(store, drawer=[DRAWER | {"height": "130"}])
    assert [line for line in said(store) if line[0] == "Ds"] == [
        ("Ds", 3, ["width 120 mm, now 117.3 mm: 2.7 mm too much"])
    ]


def test_what_fits_again_is_not_told_of(store: Store) -> None:
    cut(store, "Df", 2)
    change(store, drawer=[DRAWER | {"width": "455"}])
    change(store, drawer=[DRAWER])
    assert said(store) == []


def test_just_these_are_made_again(store: Store) -> None:
    cut(store, "Df", 2)
    cut(store, "Db", 4)
    change(store, drawer=[DRAWER | {"width": "455"}])
    fronts = next(one for one in outdated(store, "1", planned(store)) if one.cut.mark == "Df")
    assert fronts.too_small
    assert make_again(store, "1", planned(store), fronts.key, "bench", id_="made-again-1") == 2
    assert [mark for mark, *_ in said(store)] == ["Db"]
    pieces = {piece.label: piece for piece in pieces_of(store, "1", planned(store))}
    states = job_state(store, "1").pieces
    assert [label for label, piece in pieces.items() if piece.index in states and states[piece.index].missing] == [
        "Df-01",
        "Df-02",
    ]
    remake = remake_stands(store, "1", planned(store), pieces["Df-01"])
    assert remake.remake is not None
    lengths = [stop.target for step in remake.remake.steps for stop in step.run.stops if step.run.work == "crosscut"]
    assert mm(417.6) in lengths
    with pytest.raises(NotFound):
        make_again(store, "1", planned(store), fronts.key, "bench")


def test_a_run_that_keeps_its_stops_does_not_count_what_no_longer_fits_as_done(store: Store) -> None:
    run = cut(store, "Ds", 3)  # their length stays, their width does not
    change(store, drawer=[DRAWER | {"height": "140"}])
    (sides,) = outdated(store, "1", planned(store))
    assert (sides.cut.run, job_state(store, "1").run(run).cut) == (run, {("Ds", False): 3})
    make_again(store, "1", planned(store), sides.key, "bench")
    assert job_state(store, "1").run(run).cut == {("Ds", False): 0}


def test_kept_as_cut_the_line_stays_so_and_says_it_was_changed_by_hand(store: Store) -> None:
    cut(store, "Df", 2)
    change(store, drawer=[DRAWER | {"width": "455"}])
    (fronts,) = outdated(store, "1", planned(store))
    assert can_be_kept(fronts, planned(store).job)
    keep_as_cut(store, "1", planned(store), fronts.key, "bench")
    assert said(store) == []
    assert planned(store).job.part("Df").length == mm(412.6)
    assert job_document(store, "1").document["changed"] == [{"of": "Df", "length": "412.6"}]


def test_a_line_of_the_list_itself_is_kept_too(store: Store) -> None:
    cut(store, "R", 4)
    change(store, part=[RAIL | {"length": "320"}])
    (rails,) = outdated(store, "1", planned(store))
    assert [one.words(Show.MM) for one in rails.differs] == ["length 300 mm, now 320 mm: 20 mm too little"]
    keep_as_cut(store, "1", planned(store), rails.key, "bench")
    assert job_document(store, "1").document["part"][0]["length"] == "300"
    assert said(store) == []


def test_a_cut_that_was_made_otherwise_is_told_of_and_kept_where_it_is_for_one_part(store: Store) -> None:
    cut(store, "Ds", 2, "groove")
    change(store, drawer=[DRAWER | {"housing_depth": "5"}])
    found = outdated(store, "1", planned(store))
    assert [(one.cut.mark, [each.words(Show.MM) for each in one.differs]) for one in found] == [
        (
            "Ds",
            [
                "DH1, near walls (1) 10 mm, now 11 mm: 1 mm too little",
                "DH1, width 6 mm, now 5 mm: 1 mm too much",
                "DH1, depth 6 mm, now 5 mm: 1 mm too much",
            ],
        )
    ]
    assert not can_be_kept(found[0], planned(store).job)  # its places have no field of their own
    with pytest.raises(NotFound):
        keep_as_cut(store, "1", planned(store), found[0].key, "bench")


def test_what_the_job_has_no_more_is_told_of(store: Store) -> None:
    cut(store, "R", 4)
    change(store, part=None)
    (rails,) = outdated(store, "1", planned(store))
    assert (rails.cut.mark, rails.part, rails.differs) == ("R", None, ())
    with pytest.raises(NotFound):
        make_again(store, "1", planned(store), rails.key, "bench")


def test_a_version_that_could_not_be_read_says_nothing(store: Store) -> None:
    change(store, drawer=[DRAWER | {"width": "wide"}])
    tap = {"run": "rsomething1", "mark": "Df", "count": 1}
    store.append([Event(new_id(), "1", "piece cut", "2026-03-01T07:00:00.000Z", "phone", tap)])
    change(store, drawer=[DRAWER])
    assert said(store) == []
