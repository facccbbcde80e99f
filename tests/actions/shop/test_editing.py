"""The shop edited over and over: what an edit changed is written down, and any version comes back as it was."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from tests.conftest import ROOT

from stopwright.actions.shop.editing import change_shop, shop_put_back, with_glue, without_glue
from stopwright.actions.shop.keeping import current_shop, save_shop, shop_at, shop_state
from stopwright.actions.shop.memory import accept_zero
from stopwright.intake.shop_file import default_shop, read_shop, shop_to_document
from stopwright.lengths import MM
from stopwright.model.stations import Shop
from stopwright.store.events import body_text
from stopwright.store.log import Store

EDITS = 200


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "shop.sqlite") as made:
        yield made


def edit(store: Store, nth: int) -> None:
    """Other minutes at the saw, or one more strip on hand."""

    def other(shop: Shop) -> Shop:
        if nth % 2:
            return replace(shop, shims=(*shop.shims, nth * MM // 100))
        minutes = [replace(one, minutes_per_piece=1 + nth / 10) if one.name == "saw" else one for one in shop.stations]
        return replace(shop, stations=tuple(minutes))

    change_shop(store, default_shop(), other, shop_state(store).version, "bench")


def test_many_edits_of_the_shop_write_little_more_than_what_they_changed(store: Store) -> None:
    many_machines = read_shop(ROOT / "fixtures" / "one-machine" / "shop.toml")
    save_shop(store, shop_to_document(many_machines), 0, "bench")
    whole = len(body_text(store.events("")[0]))
    stood = {}
    for nth in range(EDITS):
        edit(store, nth)
        stood[shop_state(store).version] = current_shop(store, default_shop())
    events = store.events("")
    assert {event.kind for event in events} == {"shop saved", "shop changed"} and len(events) == EDITS + 1
    assert sum(len(body_text(one)) for one in events) < EDITS / 5 * whole  # whole each time they were one more
    assert all(shop_at(store, default_shop(), version) == shop for version, shop in stood.items())


def test_a_shop_put_back_keeps_what_was_accepted_before_it_was_edited(store: Store) -> None:
    save_shop(store, shop_to_document(default_shop()), 0, "bench")
    accept_zero(store, default_shop(), "saw", "rip fence", MM // 5, "bench")
    before = current_shop(store, default_shop())
    version = change_shop(store, default_shop(), with_glue(), shop_state(store).version, "bench")
    change_shop(store, default_shop(), without_glue(0), shop_state(store).version, "bench")
    shop_put_back(store, default_shop(), version, "bench")
    assert current_shop(store, default_shop()) == before
