"""The memory page: a zero is proposed and waits for a yes, a kerf is measured, nothing is taken from a phone."""

from stopwright.actions.floor.working import measure
from stopwright.actions.jobs.planning import plan_for
from stopwright.actions.jobs.repeating import repeats
from stopwright.actions.shop.keeping import current_shop, shop_state
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM
from stopwright.model.gear import Blade

PAGE = {"accept": "text/html"}


def rip(floor):
    return next(run for run in plan_for(floor.store, floor.job, default_shop()).sheet.runs if run.work == "rip")


def cut_trials(floor, *hundredths):
    run = rip(floor)
    stop = run.stops[0]
    for off in hundredths:
        measure(
            floor.store, floor.job, run.id, stop.axis, station="saw", target=stop.target, reading=stop.reading,
            measured=stop.target + off * MM // 100, tolerance=stop.tolerance, device="phone",
        )  # fmt: skip


def zero_of(floor):
    shop = current_shop(floor.store, default_shop())
    return next(
        axis.zero for one in shop.stations if one.name == "saw" for axis in one.axes if axis.name == "rip fence"
    )


def test_a_zero_is_proposed_with_its_plot_and_taken_only_when_accepted(floor):
    cut_trials(floor, 70, 80, 90)  # mean 0.8 long: the scale reads 0.8 less than it should
    page = floor.bench.get("/memory", headers=PAGE).text
    assert "Take" in page and "−0.8 mm" in page and 'class="point"' in page
    assert zero_of(floor) == 0
    body = {"station": "saw", "axis": "rip fence", "zero_nm": -800_000}
    assert floor.bench.post("/memory/zero", data=body).status_code == 303
    assert zero_of(floor) == -800_000
    assert rip(floor).stops[0].reading == rip(floor).stops[0].target - MM  # 0.8 at a scale to 0.5, to the nearest
    assert 'name="zero_nm"' not in floor.bench.get("/memory", headers=PAGE).text


def test_a_zero_that_newer_trial_pieces_have_overtaken_is_not_taken(floor):
    cut_trials(floor, 70, 80, 90)
    body = {"station": "saw", "axis": "rip fence", "zero_nm": -800_000}
    cut_trials(floor, 60)
    assert floor.bench.post("/memory/zero", data=body).status_code == 409
    assert zero_of(floor) == 0


def test_a_kerf_is_worked_out_from_a_ripped_board_and_written_to_the_blade(floor):
    typed = {"station": "saw", "width": "150", "strips": "40\n40,0 mm\n40\n20.4", "rest": "cut", "graduation": "0.1"}
    assert floor.bench.post("/memory/kerf", data=typed).status_code == 303
    saw = next(one for one in current_shop(floor.store, default_shop()).stations if one.name == "saw")
    assert saw.of(Blade).kerf == 2_400_000  # (150 − 140.4) / 4
    rest = typed | {"rest": "rest"}
    floor.bench.post("/memory/kerf", data=rest)
    assert shop_state(floor.store).kerfs["saw", saw.of(Blade).blade].kerf == 3_200_000  # 9.6 / 3
    assert "3.2 mm" in floor.bench.get("/memory", headers=PAGE).text


def test_figures_that_cannot_be_right_are_said_and_what_was_typed_stays(floor):
    typed = {"station": "saw", "width": "150", "strips": "60\n60\n60", "rest": "rest", "graduation": "0.1"}
    answer = floor.bench.post("/memory/kerf", data=typed, headers=PAGE)
    assert answer.status_code == 422 and "not narrower than the board" in answer.text and "60\n60\n60" in answer.text
    for wrong, said in (
        ({"width": "wide"}, "Width of the board &#39;wide&#39; is not a length"),
        ({"strips": "60\n\nsixty"}, "Strip 2 &#39;sixty&#39; is not a length"),
        ({"graduation": ""}, "What you measured to is empty"),
    ):
        answer = floor.bench.post("/memory/kerf", data=typed | wrong, headers=PAGE)
        assert answer.status_code == 422 and said in answer.text
    assert shop_state(floor.store).kerfs == {}


def test_what_changes_the_shop_is_not_taken_from_a_phone(floor):
    phone = floor.phone()
    phone.post(f"/pair/{floor.door.new_code()}", data={"name": "Saw phone"})
    assert phone.get("/memory", headers=PAGE).status_code == 200
    for path, body in (
        ("/memory/zero", {"station": "saw", "axis": "rip fence", "zero_nm": 0}),
        ("/memory/kerf", {"station": "saw"}),
        ("/memory/minutes", {"station": "saw", "seconds": 20}),
    ):
        assert phone.post(path, data=body).status_code == 403


def test_a_repeated_job_begins_at_the_readings_that_worked_and_says_so(floor):
    run = rip(floor)
    stop = run.stops[0]
    for reading, measured in ((360, 362), (358, 360)):
        measure(
            floor.store, floor.job, run.id, stop.axis, station="saw", target=stop.target, reading=reading * MM,
            measured=measured * MM, tolerance=stop.tolerance, device="phone",
        )  # fmt: skip
    again = floor.bench.post(f"/jobs/{floor.job}/repeat").headers["location"].split("/")[2]
    assert (repeats(floor.store, again), repeats(floor.store, floor.job)) == (floor.job, "")
    page = floor.bench.get(f"/jobs/{again}/runs/{run.number}", headers=PAGE).text
    assert f">{358} mm</span>" in page and "remembered from" in page and '"reading_nm":358000000' in page
    page = floor.bench.get(f"/jobs/{floor.job}/runs/{run.number}", headers=PAGE).text
    assert "worked last time" in page and '"reading_nm":358000000' not in page  # said, but not used unasked
