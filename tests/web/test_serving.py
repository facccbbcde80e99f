"""Serving: a real process that stops at once on Ctrl-C although a page still follows it."""

import signal
import subprocess
import sys
import urllib.request


def test_ctrl_c_ends_the_server_while_a_page_follows_it(tmp_path):
    command = [sys.executable, "-m", "stopwright", "demo", "--data", str(tmp_path), "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True) as process:
        try:
            assert process.stdout is not None
            address = next(line.split()[1] for line in process.stdout if line.startswith("Bench:"))
            with urllib.request.urlopen(f"{address}/jobs/1/live") as line:
                assert line.readline() == b"retry: 1000\n"
                process.send_signal(signal.SIGINT)
                said, _ = process.communicate(timeout=20)
        finally:
            process.kill()
    assert process.returncode == 0
    assert "Traceback" not in said and "Error" not in said
