"""Pairing: one code, one device, two minutes; everything else is refused in the same words."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from stopwright.actions.shop.pairing import CODES_AT_ONCE, Door
from stopwright.errors import NotFound, NotPaired
from stopwright.store.log import Store


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        self.seconds = 1000.0

    def __call__(self) -> float:
        return self.seconds

    def later(self, seconds: float) -> None:
        self.seconds += seconds


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "shop.db") as one:
        yield one


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def door(store: Store, clock: Clock) -> Door:
    return Door(store, clock)


def test_a_phone_that_shows_the_code_comes_in_and_is_known_by_its_token(door: Door) -> None:
    token = door.pair(door.new_code(), "  Ada's   phone ")
    assert name_of(door, token) == "Ada's phone"
    assert [one.name for one in door.devices()] == ["Ada's phone"]


def test_a_code_typed_by_hand_is_read_forgivingly(door: Door) -> None:
    code = door.new_code()
    typed = "-".join(code[n : n + 4] for n in (0, 4, 8)).lower().replace("0", "o").replace("1", "l")
    door.pair(typed, "phone")


def test_a_code_is_good_for_two_minutes_and_not_a_moment_longer(door: Door, clock: Clock) -> None:
    early, late = door.new_code(), door.new_code()
    clock.later(119.9)
    door.pair(early, "phone")
    clock.later(0.1)
    with pytest.raises(NotPaired):
        door.pair(late, "phone")


def test_looking_whether_a_code_is_good_does_not_use_it_up(door: Door, clock: Clock) -> None:
    code = door.new_code()
    assert door.is_good(code) and door.is_good(code) and not door.is_good("0" * 12)
    door.pair(code, "phone")
    assert not door.is_good(code)
    late = door.new_code()
    clock.later(120)
    assert not door.is_good(late)


def test_a_code_lets_one_device_in_however_many_try_at_once(door: Door) -> None:
    code = door.new_code()

    def attempt(number: int) -> bool:
        try:
            return bool(door.pair(code, f"phone {number}"))
        except NotPaired:
            return False

    with ThreadPoolExecutor(16) as phones:
        assert sum(phones.map(attempt, range(16))) == 1
    assert len(door.devices()) == 1


@pytest.mark.parametrize("code", ["", "0" * 12, "AAAA", "ß\ud800", "x" * 10_000])
def test_a_guessed_code_is_refused_and_leaves_the_open_one_good(door: Door, code: str) -> None:
    offer = door.new_code()
    with pytest.raises(NotPaired):
        door.pair(code, "phone")
    door.pair(offer, "phone")


def test_codes_and_tokens_never_come_twice_and_are_long_enough(door: Door) -> None:
    codes = {door.new_code() for _ in range(500)}
    assert len(codes) == 500 and {len(code) for code in codes} == {12}  # 12 × 5 = 60 bits
    tokens = {door.pair(door.new_code(), "phone").partition(".")[2] for _ in range(5)}
    assert len(tokens) == 5 and {len(secret) for secret in tokens} == {64}  # 256 bits


def test_of_too_many_open_codes_the_oldest_goes(door: Door, clock: Clock) -> None:
    codes = []
    for _ in range(CODES_AT_ONCE + 1):
        codes.append(door.new_code())
        clock.later(1)
    with pytest.raises(NotPaired):
        door.pair(codes[0], "phone")
    door.pair(codes[1], "phone")


def test_every_wrong_token_belongs_to_nobody(door: Door) -> None:
    token = door.pair(door.new_code(), "phone")
    out = door.pair(door.new_code(), "other")
    door.shut_out(id_of(door, out))
    device, _, secret = token.partition(".")
    made_up = [f"{device}.{secret[:-1]}", f"{secret}.{secret}", f"{token}0", f"{device}.", device]
    for wrong in ("", ".", *made_up, out, "\ud800"):
        assert door.who(wrong) is None


def test_a_device_shut_out_is_out_from_its_next_request_and_after_a_restart(store: Store, door: Door) -> None:
    token = door.pair(door.new_code(), "phone")
    device = id_of(door, token)
    assert id_of(Door(store), token) == device  # a restart keeps those who are in
    door.shut_out(device, "bench")
    assert door.who(token) is None and Door(store).who(token) is None


def test_codes_do_not_outlive_a_restart(store: Store, door: Door, clock: Clock) -> None:
    code = door.new_code()
    with pytest.raises(NotPaired):
        Door(store, clock).pair(code, "phone")


def test_the_log_holds_neither_codes_nor_secrets(store: Store, door: Door) -> None:
    code = door.new_code()
    secret = door.pair(code, "phone").partition(".")[2]
    written_down = b"".join(one.read_bytes() for one in store.path.parent.iterdir() if one.is_file())
    assert secret.encode() not in written_down and code.encode() not in written_down


def test_a_device_can_be_named_anew_and_one_that_is_not_there_cannot(door: Door) -> None:
    token = door.pair(door.new_code(), "phone")
    door.rename(id_of(door, token), "At the saw")
    assert name_of(door, token) == "At the saw"
    with pytest.raises(NotFound):
        door.rename("nobody-0001", "x", "bench")
    with pytest.raises(NotFound):
        door.shut_out("nobody-0001", "bench")


@pytest.mark.parametrize("name", ["", "   ", "x" * 6000, "a\x00b", "\u2028"])
def test_a_device_gets_a_name_fit_to_be_shown_whatever_is_typed(door: Door, name: str) -> None:
    shown = door.devices()[0].name if door.pair(door.new_code(), name) else ""
    assert 1 <= len(shown) <= 60 and shown.isprintable()


def test_devices_are_listed_latest_first_without_those_shut_out(door: Door) -> None:
    tokens = [door.pair(door.new_code(), name) for name in ("first", "second", "third")]
    door.shut_out(id_of(door, tokens[2]))
    assert [one.name for one in door.devices()] == ["second", "first"]
    assert set(door.device_ids()) == {id_of(door, token) for token in tokens[:2]}


def id_of(door: Door, token: str) -> str:
    device = door.who(token)
    assert device is not None
    return device.id


def name_of(door: Door, token: str) -> str:
    device = door.who(token)
    assert device is not None
    return device.name
