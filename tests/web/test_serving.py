"""Serving: a real process that says at once where it is, and stops at once on Ctrl-C although a page follows it."""

import os
import signal
import subprocess
import sys
import threading
import urllib.request

import pytest

from stopwright.errors import StopwrightError
from stopwright.web.serving import data_file

AS_AT_HOME = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
"""Python itself holds back what goes into a pipe; a machine that builds and tests is often told otherwise."""


def test_ctrl_c_ends_the_server_while_a_page_follows_it(tmp_path):
    command = [sys.executable, "-m", "stopwright", "demo", "--data", str(tmp_path), "--port", "0"]
    pipe, same = subprocess.PIPE, subprocess.STDOUT
    with subprocess.Popen(command, env=AS_AT_HOME, stdout=pipe, stderr=same, text=True) as process:
        silent = threading.Timer(60, process.kill)
        silent.start()
        try:
            assert process.stdout is not None
            address = next(line.split()[1] for line in process.stdout if line.startswith("Bench:"))
            with urllib.request.urlopen(f"{address}/jobs/1/live") as line:
                assert line.readline() == b"retry: 1000\n"
                process.send_signal(signal.SIGINT)
                said, _ = process.communicate(timeout=20)
        finally:
            silent.cancel()
            process.kill()
    assert process.returncode == 0
    assert "Traceback" not in said and "Error" not in said


HELD_UP = """
import gc, sys
from stopwright.intake.shop_file import default_shop
from stopwright.store.log import Store
from stopwright.web.serving import Serving, serve
def say(_):
    print(gc.get_freeze_count(), len(gc.get_objects()), flush=True)
with Store.open(sys.argv[1]) as store:
    serve(store, default_shop(), Serving(port=0), say)
"""


def test_the_collector_of_garbage_passes_over_what_was_there_when_serving_began(tmp_path):
    """Otherwise each of its full passes, which a large plan brings about, holds up all taps for 80 to 100 ms."""
    command = [sys.executable, "-c", HELD_UP, str(tmp_path / "shop.sqlite")]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            passed_over, looked_at = map(int, process.stdout.readline().split())
        finally:
            process.kill()
    assert looked_at < passed_over / 20


def test_without_a_home_folder_it_says_how_to_name_another(monkeypatch, tmp_path):
    monkeypatch.setenv("HOME", str(tmp_path))
    assert data_file(None, "shop.sqlite") == tmp_path / ".local" / "share" / "stopwright" / "shop.sqlite"
    monkeypatch.delenv("HOME")
    monkeypatch.setattr("os.getuid", lambda: 4242424)  # a user of whom the machine knows nothing, as in containers
    with pytest.raises(StopwrightError, match="your home folder is not known"):
        data_file(None, "shop.sqlite")
