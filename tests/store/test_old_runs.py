"""Logs, whole jobs and kept taps of version 0.1.0 name runs by sentences; they go on under the runs' ids."""

import json
import sqlite3
from fractions import Fraction
from pathlib import Path

import pytest
from sqlite_utils import Database
from tests.builders import a_job, a_part, a_saw, a_shop, mm
from tests.conftest import ROOT

from stopwright.actions.jobs.planning import plan_for
from stopwright.intake.shop_file import default_shop
from stopwright.model.joints import RailEnds, Side
from stopwright.model.shaping import Mitre, Moulding, Pass
from stopwright.model.stations import Axis, Station
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Angle, Run, run_id
from stopwright.store.events import utc_now
from stopwright.store.log import Store
from stopwright.store.migrations import migrations
from stopwright.store.old_runs import renewed
from stopwright.store.run_fold import fold_runs
from stopwright.store.whole_job import read_whole_job, take_in

RIP = "saw|rip|rip fence=84000000"
OLD_SHOPS = ROOT / "fixtures" / "old-shops"


def old_name(run: Run, told: str = "") -> str:
    """What version 0.1.0 called the run; `told` is what it wrote where runs are told apart otherwise now."""
    where = ",".join(
        f"{stop.axis}={stop.target.degrees if isinstance(stop.target, Angle) else stop.target}" for stop in run.stops
    )
    spacer = f"|spacer={run.spacer.count}x{run.spacer.thickness}" if run.spacer else ""
    apart = told or (f"{run.size[0]}x{run.size[1]}" if run.size else run.lot)
    return f"{run.station}|{run.work}|{where}{spacer}" + (f"|{apart}" if apart else "")


def test_every_run_of_a_plan_is_found_under_the_name_it_had() -> None:
    saw = a_saw(work=("rip", "square", "crosscut", "mitre"))
    saw = Station("saw", saw.work, (*saw.axes, Axis("mitre gauge", "angle")), saw.gear)
    spindle = Station("spindle", ("mould",), (Axis("cutter", "cutter"), Axis("height", "spindle height")))
    moulding = Moulding("M", ("B",), (Pass("cove 12", mm(8), 0), Pass("round 4", mm(6), 0)), (Side.EDGE,))
    job = a_job(a_part("A"), a_part("B"), a_part("F"), mitres=(Mitre("F", sides=4),), mouldings=(moulding,))
    runs = [run for run in make_plan(job, a_shop(saw, spindle)).runs if run.lot not in ("rough", "blanks")]
    assert {run.work for run in runs} == {"rip", "mould", "square", "crosscut", "mitre"}
    for run in runs:
        body = renewed("stop set", {"run": old_name(run, run.note if run.work == "mitre" else "")})
        assert body["run"] == run.id, run
        assert (body["station"], body["work"]) == (run.station, run.work)
        assert body["stops"] == [[stop.axis, stop.told] for stop in run.stops]


def test_a_spacer_and_a_size_worked_by_itself_are_part_of_the_name() -> None:
    with_block = "mortiser|mortise|bit=8000000,depth=25000000|spacer=1x3000000|under the piece"
    stops = [["bit", "8000000"], ["depth", "25000000"]]
    assert renewed("run done", {"run": with_block}) == {
        "run": run_id("mortiser", "mortise", stops, [1, 3_000_000], "under the piece")
    }
    sized = f"{RIP}|84000000x450000000"
    assert renewed("run done", {"run": sized})["run"] == run_id(
        "saw", "rip", [["rip fence", "84000000"]], [], "84000000x450000000"
    )


SENTENCES = {
    "long edge against the fence, square other end touches the stop": "square other end",
    "long edge against the fence, square marked end touches the stop": "square marked end",
    "first end, without a stop": "first end, parallel",
    "same edge against the fence, slid along: its point touches the stop": "second end, slid along",
    "first end, without a stop: long edge against the fence": "first end",
    "turned over, long edge against the fence: the long point touches the stop": "second end, turned over",
    "first end, without a stop, to the other hand: long edge against the fence": "first end, other hand",
    "not turned, long edge against the fence: the long point touches the stop": "second end, not turned",
}
"""Every sentence that version 0.1.0 wrote into the name of a mitre run, as it stood then."""


@pytest.mark.parametrize(("sentence", "end"), SENTENCES.items())
def test_a_mitre_run_named_by_its_sentence_is_found_by_its_end(sentence: str, end: str) -> None:
    body = renewed("stop set", {"run": f"saw|mitre|mitre gauge=45/2,flip stops=450000000|{sentence}"})
    assert body["run"] == run_id("saw", "mitre", [["mitre gauge", "45/2"], ["flip stops", "450000000"]], [], end)
    assert body["stops"] == [["mitre gauge", "45/2"], ["flip stops", 450_000_000]]


def test_mitres_at_the_marked_and_at_the_other_end_are_two_runs() -> None:
    saw = a_saw(work=("crosscut", "mitre"))
    saw = Station("saw", saw.work, (*saw.axes, Axis("mitre gauge", "angle")), saw.gear)
    mitres = (
        Mitre("A", angle=Fraction(45), ends=RailEnds.MARKED),
        Mitre("B", angle=Fraction(45), ends=RailEnds.OTHER),
    )
    runs = make_plan(a_job(a_part("A"), a_part("B"), mitres=mitres), a_shop(saw)).runs
    mitred = [run for run in runs if run.work == "mitre"]
    assert len(mitred) == len({run.id for run in mitred}) == 2
    assert [run.id for run in mitred] == [
        renewed("run done", {"run": old_name(run, run.note)})["run"] for run in mitred
    ]


@pytest.mark.parametrize("body", [{"run": "r5fu5zibvyq", "mark": "A|B"}, {"piece": 6}, {"run": 7}, {"run": "a|b"}])
def test_anything_else_stays_as_it_is(body: dict[str, object]) -> None:
    assert renewed("piece cut", body) == body


def an_old_log(path: Path) -> None:
    """A log as version 0.1.0 left it: only its first step was made."""
    rows = [
        ("job saved", {"document": {"name": "Stools | old"}, "base": 0}),
        ("stop set", {"run": RIP}),
        ("piece cut", {"run": RIP, "mark": "B", "count": 7}),
        ("piece measured", {"run": RIP, "axis": "rip fence", "target_nm": 84_000_000, "reading_nm": 84_000_000,
                            "measured_nm": 84_400_000, "tolerance_nm": 300_000, "blade": ""}),
        ("run done", {"run": "saw|square|"}),
    ]  # fmt: skip
    with Database(path) as db:
        migrations.apply(db, stop_before="runs_by_id")
        for number, (kind, body) in enumerate(rows, start=1):
            at = f"2026-03-01T07:3{number}:00.000Z"
            row = [f"tap-{number:05}", "1", kind, at, "phone", json.dumps(body)]
            db.execute("insert into events (id, job, kind, at, device, body) values (?, ?, ?, ?, ?, ?)", row)
        db.conn.commit()


def test_a_log_of_the_first_version_goes_on_where_it_stood(tmp_path: Path) -> None:
    path = tmp_path / "shop.sqlite"
    an_old_log(path)
    with Store.open(path) as store:
        states = fold_runs(store.events("1"))
        rip = states[run_id("saw", "rip", [["rip fence", "84000000"]], [], "")]
        assert (rip.is_set, rip.cut, rip.readings) == (True, {("B", False): 7}, {"rip fence": 83_600_000})
        assert (rip.station, rip.work, rip.stops) == ("saw", "rip", (("rip fence", 84_000_000),))
        assert states[run_id("saw", "square", [], [], "")].done
        assert next(iter(store.events("1"))).body["document"] == {"name": "Stools | old"}
    with sqlite3.connect(path) as db, pytest.raises(sqlite3.IntegrityError, match="only added to"):
        db.execute("update events set device = 'x'")


def test_a_whole_job_of_the_first_version_is_taken_in(tmp_path: Path) -> None:
    rows = [
        {"id": "tap-00001", "kind": "job saved", "at": "2026-03-01T07:30:00.000Z", "device": "bench",
         "body": {"document": {"name": "Stools"}, "base": 0}},
        {"id": "tap-00002", "kind": "stop set", "at": "2026-03-01T07:31:00.000Z", "device": "phone",
         "body": {"run": RIP}},
    ]  # fmt: skip
    text = json.dumps({"what": "whole job", "version": 1, "job": "1", "events": rows})
    with Store.open(tmp_path / "shop.sqlite") as store:
        take_in(store, read_whole_job(text, "job.json", utc_now()))
        (state,) = fold_runs(store.events("1")).values()
        assert state.is_set and state.station == "saw"


def test_a_shop_and_a_job_that_version_0_1_0_wrote_go_on_where_they_stood(tmp_path: Path) -> None:
    path = tmp_path / "shop.sqlite"
    path.write_bytes((OLD_SHOPS / "version-0.1.0.sqlite").read_bytes())
    with Store.open(path) as store:
        states = fold_runs(store.events("1"))
        runs = plan_for(store, "1", default_shop()).sheet.runs
        told = {(run.station, run.work, run.stops[0].told) for run in runs if run.stops}
        assert not any("|" in event.body.get("run", "") for event in store.events("1"))
        # the planer's heights on the way are others now, and no block is put under the rails any more: those runs stand
        # under what was worked before; every stop of the saw, and the mortiser's for the legs, are found again
        for work, least in (("rip", 5), ("crosscut", 5), ("mould", 1), ("mortise", 2)):
            done = [run for run in runs if run.work == work and states.get(run.id) and states[run.id].done]
            assert len(done) >= least, work
        fence = next(run for run in runs if run.work == "rip" and run.stops[0].target == mm(360))
        assert states[fence.id].readings == {"rip fence": mm(359.6)}
        assert ("saw", "rip", mm(360)) in told
        taken = take_in(
            store, read_whole_job((OLD_SHOPS / "version-0.1.0-job.json").read_text(), "job.json", utc_now())
        )
        assert fold_runs(store.events(taken.job)).keys() == states.keys()
