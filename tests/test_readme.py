"""The README tells the truth: its commands exist and run, and what it shows is what they print."""

import re
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from stopwright.cli import _parser, main

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text()
BLOCKS = re.findall(r"```(\w+)\n(.*?)```", README, re.S)


def test_it_opens_with_one_paragraph_that_states_the_job() -> None:
    title, paragraph = README.split("\n\n")[:2]
    assert title == "# stopwright"
    assert "part list" in paragraph and "settings" in paragraph and not paragraph.startswith(("#", "-", "<", "|"))


def test_the_two_commands_are_the_ones_that_ci_runs_and_the_demo() -> None:
    commands = [text.strip() for language, text in BLOCKS if language == "sh"]
    assert len(commands) == 2
    demo, test = commands
    assert demo.endswith(".venv/bin/stopwright demo --phones")
    assert test in (ROOT / ".ci" / "run").read_text()


def test_every_command_and_option_stands_in_it() -> None:
    (group,) = [action for action in _parser()._actions if action.choices and not action.option_strings]
    for name, parser in dict(group.choices or {}).items():
        assert f"`stopwright {name}" in README, name
        for action in parser._actions:
            for option in action.option_strings:
                assert (
                    not option.startswith("--") or option in (*README.split(), "--help", "--output") or option in README
                )


def test_the_run_sheet_it_shows_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    (shown,) = [text for language, text in BLOCKS if language == "text"]
    assert main(["plan", str(ROOT / "fixtures" / "bakery-stools")]) == 0
    assert capsys.readouterr().out.startswith(shown.rstrip())


def test_the_part_list_it_shows_can_be_planned(tmp_path: Path) -> None:
    (rows,) = [text for language, text in BLOCKS if language == "csv"]
    (tmp_path / "parts.csv").write_text("\n".join(line.strip() for line in rows.strip().splitlines()))
    assert main(["check", str(tmp_path / "parts.csv")]) == 0


def test_the_demo_prints_its_run_sheet_and_serves_bench_and_phone(tmp_path: Path) -> None:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "stopwright", "demo", "--port", str(port), "--data", str(tmp_path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as demo:
        try:
            assert demo.stdout is not None and demo.stdout.readline().startswith("Six bakery stools: ")
            for _ in range(200):
                try:
                    with urllib.request.urlopen(f"http://127.0.0.1:{port}/jobs/2/runs/1", timeout=5) as answer:
                        assert answer.status == 200 and "Jointer" in answer.read().decode()
                    break
                except OSError:
                    time.sleep(0.1)
            else:
                raise AssertionError("the demo does not answer")
        finally:
            demo.terminate()
            demo.communicate(timeout=20)


def test_every_file_it_points_to_is_there() -> None:
    for target in re.findall(r"\]\((\w[\w./-]+)\)|src=\"([^\"]+)\"", README):
        assert (ROOT / (target[0] or target[1])).exists(), target
