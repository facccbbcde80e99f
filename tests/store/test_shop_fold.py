"""The shop as it stands: document, zeros, kerfs, in the order of the log."""

from itertools import permutations

from tests.store.taps import tap

from stopwright.store.devices import fold_devices
from stopwright.store.job_fold import fold_saved
from stopwright.store.shop_fold import fold_shop


def test_zeros_and_kerfs_accepted_since_the_document_hold_over_it() -> None:
    events = [
        tap("shop saved", job="", seq=1),
        tap("zero accepted", job="", seq=2, id_="zero-00002"),
        tap("zero accepted", job="", seq=3, id_="zero-00001", zero_nm=-400_000),  # of the same moment
        tap("kerf measured", job="", seq=4, uncertainty_nm=20_000),
    ]
    for order in permutations(events):
        state = fold_shop(order)
        assert state.zeros == {("saw", "rip fence"): -400_000}
        assert state.kerfs["saw", "rip 24"].kerf == 3_200_000
        assert state.version == 4  # who saves the document must have seen the kerf


def test_a_document_saved_later_holds_the_zeros_accepted_before() -> None:
    state = fold_shop([tap("zero accepted", job="", seq=2), tap("shop saved", job="", seq=3)])
    assert state.zeros == {} and state.version == 3


def test_what_an_edit_of_the_shop_changed_is_laid_over_the_document_before() -> None:
    whole = tap("shop saved", job="", seq=1, document={"name": "Our shop", "shims": ["3 mm"]})
    edit = tap("shop changed", job="", seq=3, after=whole.id, change={"set": {"name": "Ours"}})
    state = fold_shop([whole, tap("zero accepted", job="", seq=2), edit])
    assert state.saved.document == {"name": "Ours", "shims": ["3 mm"]}
    assert state.zeros == {} and state.version == 3


def test_where_an_edit_is_lost_what_was_accepted_after_the_document_that_is_sure_holds() -> None:
    whole = tap("shop saved", job="", seq=1)
    edit = tap("shop changed", job="", seq=4, after="tap-lost0", change={"set": {"name": "Ours"}})
    state = fold_shop([whole, tap("zero accepted", job="", seq=2), edit])
    assert state.saved.document == {"name": "Our shop"} and state.saved.since is None
    assert state.zeros == {("saw", "rip fence"): -300_000} and state.version == 4


def test_the_document_saved_last_in_the_log_holds_whatever_the_clocks_say() -> None:
    early = tap("job saved", seq=7, at=0, document={"name": "new"})
    saved = fold_saved([early, tap("job saved", seq=3, at=50, document={"name": "old"})])
    assert saved is not None and (saved.name, saved.version) == ("new", 7)


def test_a_device_shut_out_stays_out_in_any_order_and_no_tap_undoes_it() -> None:
    out = tap("device shut out", job="", at=2)
    events = [tap("device let in", job="", at=1), out, tap("device named", job="", at=3), tap("undo", event=out.id)]
    for order in permutations(events):
        device = fold_devices(order)["phone-0001"]
        assert (device.name, device.shut_out) == ("At the saw", out.at)
