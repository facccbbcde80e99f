"""Everything the program answers to, asked in every way that its own description allows and forbids."""

import os
from typing import Any

import pytest
import requests
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.errors import Unsatisfiable
from schemathesis import Case, GenerationMode
from schemathesis.core.result import Err, Ok
from tests.web.access.strangers import DATA, PAGE, Told, expect_sense, furnished, with_real_values
from tests.web.conftest import Client, Shopfloor

EXAMPLES = int(os.environ.get("STOPWRIGHT_HARD_USE_EXAMPLES", "3"))
"""For every address and way of asking; a hundred times as many are worth an evening."""
BENCH = "http://127.0.0.1:8765"
_HARD = settings(
    max_examples=EXAMPLES,
    deadline=None,
    database=None,
    derandomize=True,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)


def operations(floor: Shopfloor) -> list[Any]:
    """Every address with every way of asking; the program itself tells nobody, so its description is made here."""
    described = with_real_values(floor.bench.app.openapi())
    every = list(schemathesis.openapi.from_dict(described).get_all_operations())
    assert [one.err() for one in every if isinstance(one, Err)] == []
    return [one.ok() for one in every if isinstance(one, Ok)]


def ask(client: Client, case: Case, accept: str) -> Told:
    """Sends the case through no network."""
    sent = case.as_transport_kwargs(BENCH)
    wanted = ("method", "url", "headers", "params", "json", "data", "files")
    made = requests.Request(**{name: sent[name] for name in wanted if name in sent}).prepare()
    headers = {name: value for name, value in made.headers.items() if name.lower() in ("content-type", "last-event-id")}
    path = str(made.url).removeprefix(BENCH) or "/"
    body = made.body or b""
    assert isinstance(body, bytes | str)
    answer = client.request(str(made.method), path, content=body, headers=headers | {"accept": accept})
    return Told(f"{made.method} {path} {body[:2000]!r}", answer)


def ask_in_every_way(client: Client, operation: Any, mode: GenerationMode) -> None:
    """Asks as page and as data."""

    @_HARD
    @given(operation.as_strategy(mode))
    def asked(case: Case) -> None:
        for accept in (PAGE, DATA):
            expect_sense(ask(client, case, accept))

    try:
        asked()
    except Unsatisfiable:  # nothing can be wrong with an address that takes no more than a text
        assert mode is GenerationMode.NEGATIVE and "requestBody" not in operation.definition.raw


def test_whatever_is_asked_is_answered_or_refused_in_the_one_shape(floor: Shopfloor, subtests: pytest.Subtests) -> None:
    every = operations(furnished(floor))
    assert len(every) > 90
    reading = [one for one in every if one.method == "get"]
    writing = [one for one in every if one.method != "get"]
    for operation in (*reading, *writing, *reading):  # and once more, whatever was written meanwhile
        with subtests.test(operation.label):
            ask_in_every_way(floor.bench, operation, GenerationMode.POSITIVE)


def test_what_no_page_would_send_is_refused_in_the_one_shape(floor: Shopfloor, subtests: pytest.Subtests) -> None:
    for operation in operations(furnished(floor)):
        if "requestBody" in operation.definition.raw or "int" in str(operation.definition.raw.get("parameters")):
            with subtests.test(operation.label):
                ask_in_every_way(floor.bench, operation, GenerationMode.NEGATIVE)
