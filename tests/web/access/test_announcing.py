"""The name on the shop's network: answered for while serving, refused in words, never in the way of serving."""

import gc

import pytest
from zeroconf import Zeroconf

from stopwright.errors import StopwrightError
from stopwright.web.access.announcing import SERVICE, announce, host_name

HERE = "127.0.0.1"


def test_another_program_on_the_network_finds_the_bench_by_its_name():
    end = announce("stopwright-tried", "192.168.1.5", 8765, interfaces=[HERE])
    asking = Zeroconf(interfaces=[HERE])
    try:
        found = asking.get_service_info(SERVICE, f"stopwright-tried.{SERVICE}", timeout=5000)
        assert found is not None
        assert (found.server, found.port, found.parsed_addresses()) == (
            "stopwright-tried.local.",
            8765,
            ["192.168.1.5"],
        )
    finally:
        asking.close()
        end()


@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")  # the library leaves its socket open
def test_where_nothing_can_be_announced_there_is_a_sentence_and_no_crash():
    with pytest.raises(StopwrightError, match="could not be made known"):
        announce("stopwright", "192.0.2.77", 8765)  # a documentation address: no interface has it
    gc.collect()


@pytest.mark.parametrize("name", ["", "Bench", "my bench", "-a", "a.b", "ü", "x" * 64])
def test_what_cannot_be_a_name_on_the_network_is_refused(name):
    with pytest.raises(StopwrightError, match="cannot be a name"):
        host_name(name)
