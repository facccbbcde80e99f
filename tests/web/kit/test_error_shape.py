"""One shape for every error, whoever asks, and nothing ever falls through."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

CASES = [
    ("GET", "/no-such-page", None, 404),
    ("GET", "/jobs/99/runs", None, 404),
    ("GET", "/jobs/abc/runs", None, 404),
    ("GET", "/jobs/1/runs/999", None, 404),
    ("GET", "/jobs/1/runs/99999999999999999999", None, 404),
    ("GET", "/jobs/1/runs/-1", None, 404),
    ("GET", "/jobs/1/runs/²", None, 404),
    ("GET", "/P/XXXX", None, 404),
    ("GET", "/P/UUUUUUU", None, 404),
    ("GET", "/jobs/99/live", None, 404),
    ("GET", "/jobs/1/live?after=abc", None, 422),
    ("PUT", "/jobs/1/events", b"", 405),
    ("POST", "/jobs/1/events", b"", 422),
    ("POST", "/jobs/1/events", b"{", 422),
    ("POST", "/jobs/1/events", b'{"events":3}', 422),
    ("POST", "/jobs/1/events", b'{"events":[3]}', 422),
    ("POST", "/jobs/99/events", b'{"events":[]}', 404),
    ("POST", "/jobs/1/events", b'{"events":[],"more":1}', 422),
    ("GET", "/styles/none.css", None, 404),
    ("GET", "/jobs/1%00/runs", None, 404),
    ("GET", "/jobs/%ff/runs", None, 404),
]


@pytest.mark.parametrize(("method", "path", "body", "status"), CASES)
def test_an_error_has_what_where_and_next_step_as_page_and_as_json(floor, method, path, body, status):
    headers = {"content-type": "application/json"} if body is not None else {}
    answer = floor.bench.request(method, path, content=body, headers=headers)
    assert answer.status_code == status
    assert set(answer.json()) == {"error"}
    error = answer.json()["error"]
    assert {"what", "where", "next_step"} <= set(error) and error["what"] and error["next_step"]
    page = floor.bench.request(method, path, content=body, headers=headers | {"accept": "text/html"})
    assert page.status_code == status and page.headers["content-type"].startswith("text/html")
    assert 'lang="en"' in page.text


def test_every_answer_carries_the_safe_headers(floor):
    for path in ("/", "/jobs/1/runs", "/no-such-page", "/styles/base.css", "/jobs/1/standing"):
        headers = floor.bench.get(path).headers
        assert headers["content-security-policy"].startswith("default-src 'self'")
        assert headers["x-content-type-options"] == "nosniff" and headers["x-frame-options"] == "DENY"
        assert "unsafe" not in headers["content-security-policy"]


def test_an_unforeseen_fault_has_the_same_shape(floor):
    def break_down() -> None:
        raise RuntimeError("secret detail")

    floor.bench.app.add_api_route("/breaks", break_down)
    answer = floor.bench.get("/breaks")
    assert answer.status_code == 500 and "secret detail" not in answer.text
    assert answer.json()["error"]["next_step"]
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_a_body_that_is_too_large_is_refused(floor):
    answer = floor.bench.post("/jobs/1/events", content=b" " * 8_000_001, headers={"content-type": "application/json"})
    assert answer.status_code == 413 and answer.json()["error"]["what"]


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(max_size=8),
        lambda x: (
            st.lists(x, max_size=3)
            | st.dictionaries(
                st.sampled_from(["events", "sent", "id", "kind", "at", "body", "text", "unit", "run"]), x, max_size=5
            )
        ),
    )
)
def test_nothing_that_is_posted_breaks_the_program(floor, data):
    for body in (
        data,
        {"events": [data]},
        {"events": [{"id": "abcdefgh", "kind": "piece measured", "at": "2026-01-01", "body": data}]},
    ):
        assert floor.bench.post("/jobs/1/events", json=body).status_code in (200, 422)
