"""What is imported is declared, the program's own packages among the dependencies, those of the tests beside them."""

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


def declared(lines):
    return {re.split(r"[<>=\[ ]", line)[0].lower().replace("_", "-") for line in lines}


def imported(folder):
    names = set()
    for file in (ROOT / folder).rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Import):
                names |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and not node.level and node.module:
                names.add(node.module.partition(".")[0])
    return names - sys.stdlib_module_names - {"stopwright", "tests"}


@pytest.mark.parametrize("folder", ["backend", "tests"])
def test_every_package_that_is_imported_is_declared(folder):
    known = declared(PROJECT["dependencies"])
    if folder == "tests":
        known |= declared(PROJECT["optional-dependencies"]["test"])
    provides = packages_distributions()
    for name in imported(folder):
        assert {one.lower().replace("_", "-") for one in provides[name]} & known, name
