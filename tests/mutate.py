"""Changes one place of the program at a time and tells which changes no test notices; DEVELOPERS.md says how."""

import argparse
import ast
import json
import os
import random
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from xml.etree import ElementTree

ROOT = Path(__file__).parent.parent
NOT_COPIED = shutil.ignore_patterns(".git", ".venv", "__pycache__", ".*_cache", ".hypothesis")
ONES = (ast.And, ast.Lt, ast.Gt, ast.Eq, ast.In, ast.Is, ast.Add, ast.Mult)
OTHERS = (ast.Or, ast.LtE, ast.GtE, ast.NotEq, ast.NotIn, ast.IsNot, ast.Sub, ast.FloorDiv)
SIGNS: dict[Any, Any] = {**dict(zip(ONES + OTHERS, OTHERS + ONES, strict=True)), ast.Div: ast.Mult}
WORDS = ("isinstance", "asked", "Problem", "Remark")
NAMES = {"min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True)
class Mutant:
    """One changed place of a file; `lines` are those of its statement, by which the tests that reach it are found."""

    file: Path
    lines: range
    begin: int
    end: int
    new: str

    def __str__(self) -> str:
        source = self.file.read_bytes()
        line = source.count(b"\n", 0, self.begin) + 1
        return f"{self.file.relative_to(ROOT)}:{line}: {source[self.begin : self.end].decode()}  →  {self.new}"


def in_its_place(node: ast.AST) -> Iterator[ast.AST]:
    """What may stand in a node's place; texts and types are left alone."""
    match node:
        case ast.Compare(left=left, ops=ops, comparators=right):
            for at, op in enumerate(ops):
                yield ast.Compare(left, [*ops[:at], SIGNS[type(op)](), *ops[at + 1 :]], right)
        case ast.BinOp(left=left, op=op, right=right) if type(op) in SIGNS and not {*"'\"["} & {*ast.unparse(node)}:
            yield ast.BinOp(left, SIGNS[type(op)](), right)
        case ast.BoolOp(op=op, values=values):
            yield ast.BoolOp(SIGNS[type(op)](), values)
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            yield operand
        case ast.Constant(value=bool() | int() | float() as value):
            yield ast.Constant(not value if isinstance(value, bool) else value + 1)
        case ast.Return(value=ast.expr() as value) if ast.unparse(value) != "None":
            yield ast.Return(ast.Constant(None))
        case ast.Expr(value=ast.Call()):
            yield ast.Pass()
        case ast.Name(id=name) if name in NAMES:
            yield ast.Name(NAMES[name])
        case ast.Call(func=ast.Name(id=name) as called, args=[a, b, *rest], keywords=named) if name not in WORDS:
            yield ast.Call(called, [b, a, *rest], named)


def mutants(file: Path) -> Iterator[Mutant]:
    """Every change of a file; what draws a picture is left alone, for that is looked at."""
    source = file.read_bytes().splitlines(keepends=True)
    starts = [0, *accumulate(map(len, source))]

    def inside(node: ast.AST, lines: range) -> Iterator[Mutant]:
        if isinstance(node, ast.FunctionDef) and any(one.arg == "canvas" for one in node.args.args):
            return
        if isinstance(node, ast.stmt):
            body = getattr(node, "body", None)
            lines = range(node.lineno, body[0].lineno if body else (node.end_lineno or node.lineno) + 1)
        if isinstance(node, ast.stmt | ast.expr):
            begin = starts[node.lineno - 1] + node.col_offset
            end = starts[(node.end_lineno or 1) - 1] + (node.end_col_offset or 0)
            for new in in_its_place(node):
                text = ast.unparse(new)
                yield Mutant(file, lines, begin, end, f"({text})" if isinstance(new, ast.expr) else text)
        for field, value in ast.iter_fields(node):
            if field not in ("annotation", "returns", "decorator_list") and not isinstance(node, ast.JoinedStr):
                for one in value if isinstance(value, list) else [value]:
                    if isinstance(one, ast.AST):
                        yield from inside(one, lines)

    yield from inside(ast.parse(b"".join(source)), range(0))


def times() -> Iterator[tuple[str, float]]:
    """How many seconds each test took that passed, by the name that pytest gives it."""
    for case in ElementTree.parse(ROOT / ".tests.xml").iter("testcase"):
        if not len(case):
            yield f"{case.get('classname', '').replace('.', '/')}.py::{case.get('name')}", float(case.get("time", 0))


def reaching(file: Path) -> dict[int, set[str]]:
    """Which tests reach each line of a file, themselves or in what is made ready for them."""
    command = [sys.executable, "-m", "coverage", "json", "--show-contexts", "-qo", "-", "--include"]
    told = subprocess.run([*command, file.relative_to(ROOT)], capture_output=True, check=True, cwd=ROOT).stdout
    lines = json.loads(told)["files"].popitem()[1]["contexts"]
    return {int(line): {one.rpartition("|")[0] for one in tests} for line, tests in lines.items()}


def is_noticed(mutant: Mutant, tree: Path, tests: list[str]) -> bool:
    """True when a doctest of its file, or one of the tests, fails or does not end; the tree is as before then."""
    file = tree / mutant.file.relative_to(ROOT)
    before = file.read_bytes()
    file.write_bytes(before[: mutant.begin] + mutant.new.encode() + before[mutant.end :])
    quick = ["-x", "-n0", "-p", "no:cacheprovider", "--hypothesis-profile=first failure"]
    command = [sys.executable, "-B", "-m", "pytest", *quick, str(file), *tests]
    paths = os.environ | {"PYTHONPATH": str(tree / "backend")}
    try:
        ended = subprocess.run(command, cwd=tree, env=paths, capture_output=True, timeout=300)
        return ended.returncode not in (0, 5)  # 5: there was no test to run
    except subprocess.TimeoutExpired:
        return True
    finally:
        file.write_bytes(before)


def main() -> None:
    """Tries changes, drawn from all that these files and folders may have, and tells those that nothing noticed."""
    words = argparse.ArgumentParser(prog="python -m tests.mutate", description=main.__doc__)
    words.add_argument("path", type=Path, nargs="+")
    words.add_argument("--sample", type=int, default=40, help="how many changes")
    words.add_argument("--seed", type=int, default=1, help="another number draws others")
    words.add_argument("--seconds", type=float, default=30, help="of tests for each, its file's own first")
    asked = words.parse_args()
    files = sorted(file for path in asked.path for file in ([path] if path.is_file() else path.rglob("*.py")))
    every = [mutant for file in files for mutant in mutants(file.resolve())]
    drawn = random.Random(asked.seed).sample(every, min(asked.sample, len(every)))
    seconds = dict(times())
    unnoticed = 0
    with TemporaryDirectory() as folder:
        tree = Path(shutil.copytree(ROOT, Path(folder) / "tree", ignore=NOT_COPIED))
        for mutant in sorted(drawn, key=lambda one: (one.file, one.begin)):
            lines = reaching(mutant.file)
            known = set().union(*(lines.get(line, ()) for line in mutant.lines)) or set().union(*lines.values())
            order = sorted(known & {*seconds}, key=lambda one: (f"test_{mutant.file.stem}." not in one, seconds[one]))
            taken = accumulate(seconds[one] for one in order)
            tests = [one for one, upto in zip(order, taken, strict=True) if upto <= asked.seconds]
            if not is_noticed(mutant, tree, tests):
                unnoticed += 1
                print(f"{mutant}   ({len(tests)} of {len(known)} tests)", flush=True)
    print(f"{unnoticed} of {len(drawn)} changes went by unnoticed ({len(every)} could be made)")


if __name__ == "__main__":
    main()
