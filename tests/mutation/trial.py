"""Trying a mutant: the tests that run its lines, in a process of its own.

Packages of others are loaded once, here; each try is a fork that finds them ready
and reads only the workbook and its tests anew.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # before numpy: the tries are side by side

import coverage
import pytest
from mutants import NO_LINE, Mutant

TREE = Path(__file__).parents[2]
READY = (
    *("numpy", "scipy.integrate", "scipy.linalg", "scipy.optimize", "scipy.special"),
    *("scipy.spatial.transform", "hypothesis.extra.numpy", "mpmath", "pint", "Pynite"),
    *("nbclient", "playwright.sync_api", "filelock", "tomli_w"),
)
# Each part and the tests that are its own.
PARTS = {
    "workbook/mechanics": ["tests/laws", "tests/references", "tests/scenes"],
    "workbook/quantities": [
        "tests/quantities",
        "tests/laws/test_what_is_left_out.py",
        "tests/forms",
        "tests/references/test_exact_units.py",
    ],
    "workbook/exercises/answers/quantity.py": ["tests/exercises"],
    "workbook/exercises/declaration.py": ["tests/exercises"],
    "workbook/exercises/engine.py": ["tests/exercises"],
    "workbook/exercises/marking.py": ["tests/exercises"],
    "workbook/exercises/replay.py": ["tests/exercises"],
}
# It runs no line of what it looks at: numbers outside of functions.
OUTSIDE = "tests/laws/test_what_is_left_out.py"
# Most mutants fall to one of the quickest tests; the rest need not be read then.
FIRST = 12
OPTIONS = (
    *("-q", "-x", "-p", "no:cacheprovider", "-p", "plugin"),
    "--hypothesis-profile=broken",
    *("-W", "ignore::pytest.PytestAssertRewriteWarning"),  # of what is ready
)


def modules() -> list[Path]:
    """Return the modules of all parts, in order."""
    paths = [TREE / part for part in PARTS]
    found = [
        p for path in paths for p in (path.rglob("*.py") if path.is_dir() else [path])
    ]
    return sorted(p.relative_to(TREE) for p in found if p.name != "__init__.py")


def tests_of(module: Path) -> list[str]:
    """Return the test folders of a module, and the module for its own examples."""
    [tests] = [t for part, t in PARTS.items() if module.as_posix().startswith(part)]
    return [*tests, module.as_posix()]


def copy_of_the_tree(source: Path, folder: Path) -> Path:
    """Copy what the tests need, so that nobody's own files are changed."""
    left = shutil.ignore_patterns(".git", ".venv", ".*_cache")
    shutil.copytree(source, folder, ignore=left)
    return folder


def _setting(tree: Path) -> dict[str, str]:
    path = os.pathsep.join([str(tree), str(tree / "tests/mutation")])
    return {"CI": "true", "COVERAGE_CORE": "ctrace", "PYTHONPATH": path}


@dataclass(frozen=True)
class Learned:
    """What the unbroken tests showed: who runs which line, and how long each takes."""

    seen: dict[str, dict[int, set[str]]]
    took: dict[str, float]

    def add(self, tree: Path, lines: Path, times: Path) -> None:
        """Add what one run of tests left behind."""
        for line in times.read_text(encoding="utf-8").splitlines():
            test, seconds = json.loads(line)
            self.took[test] = self.took.get(test, 0.0) + seconds
        data = coverage.CoverageData(str(lines))
        data.read()
        for module, by_line in self.seen.items():
            for number, names in data.contexts_by_lineno(str(tree / module)).items():
                by_line.setdefault(number, set()).update(filter(None, names))

    def covering(self, mutant: Mutant) -> list[str]:
        """Return the tests that run a mutant's lines, the quickest first.

        What is read once, with the module, belongs to all tests that run something
        of it; a table is used by other modules, so to all tests of its part, and so
        is what has no line.
        """
        by_line = self.seen[mutant.module]
        first, last = mutant.lines
        tests = set().union(*(by_line.get(n, set()) for n in range(first, last + 1)))
        near = tests or set().union(*by_line.values())
        once = mutant.lines != NO_LINE and near and not tests
        if once and mutant.module.startswith("workbook/mechanics"):
            tests = near | {test for test in self.took if test.startswith(OUTSIDE)}
        own = {test.partition("::")[0] for test in tests_of(Path(mutant.module))}
        kept = [
            test
            for test in tests or self.took
            if any(test.startswith(folder) for folder in own)
        ]
        return sorted(kept, key=lambda test: (test not in near, self.took.get(test, 0)))


def learn(tree: Path, folder: Path, asked: Iterable[str], *, workers: int) -> Learned:
    """Run tests unbroken, with the lines and the time of each noted."""
    found = [tree / place for place in asked]
    files = sorted({f for p in found for f in (p.rglob("*.py") if p.is_dir() else [p])})
    runs = []
    for k in range(workers):
        lines, times = folder / f"lines_{k}", folder / f"times_{k}"
        start = [sys.executable, "-m", "coverage", "run", f"--data-file={lines}"]
        part = [str(file.relative_to(tree)) for file in files[k::workers]]
        run = subprocess.Popen(
            [*start, "--source=workbook", "-m", "pytest", *OPTIONS, *part],
            cwd=tree,
            env={**os.environ, **_setting(tree), "MUTATION_TIMES": str(times)},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        runs.append((run, lines, times))
    learned = Learned({module.as_posix(): {} for module in modules()}, {})
    for run, lines, times in runs:
        said, _ = run.communicate()
        if run.returncode not in {
            pytest.ExitCode.OK,
            pytest.ExitCode.NO_TESTS_COLLECTED,
        }:
            sys.exit(f"{said}\ntests fail before anything is broken; mend them first")
        learned.add(tree, lines, times)
    return learned


def make_ready() -> None:
    """Load the packages of others, for every try to find."""
    for name in READY:
        import_module(name)


def ends(
    mutants: Iterable[Mutant], learned: Learned, trees: Iterable[Path]
) -> Iterator[tuple[Mutant, str]]:
    """Try mutants side by side, one in each tree; return how each ended.

    ``killed`` by a test, ``timeout`` where a test took many times its time, or
    ``lived``.
    """
    make_ready()
    free = list(trees)
    running: dict[int, tuple[Mutant, Path, str]] = {}
    for mutant in mutants:
        if not free:
            yield _first_end(free, running)
        tree = free.pop()
        whole = (tree / mutant.module).read_text(encoding="utf-8")
        running[_started(mutant, learned, tree)] = mutant, tree, whole
    while running:
        yield _first_end(free, running)


def _first_end(
    free: list[Path], running: dict[int, tuple[Mutant, Path, str]]
) -> tuple[Mutant, str]:
    pid, status = os.wait()
    mutant, tree, whole = running.pop(pid)
    (tree / mutant.module).write_text(whole, encoding="utf-8")
    free.append(tree)
    if os.WIFSIGNALED(status):
        return mutant, "timeout"
    code = os.WEXITSTATUS(status)
    if code > pytest.ExitCode.INTERNAL_ERROR:
        sys.exit(f"{mutant.name}: pytest could not run its tests ({code})")
    return mutant, "killed" if code else "lived"


def _started(mutant: Mutant, learned: Learned, tree: Path) -> int:
    """Put a mutant into a tree and start its tests; return the process."""
    (tree / mutant.module).write_text(mutant.make(), encoding="utf-8")
    pid = os.fork()
    if pid:
        return pid
    code = 70
    try:
        code = _tested(learned.covering(mutant), learned.took, tree)
    finally:
        os._exit(code)


def settle(tree: Path) -> None:
    """Make this process one that works in a copy of the tree."""
    os.chdir(tree)
    os.environ |= _setting(tree)
    sys.dont_write_bytecode = True
    sys.path.insert(0, str(tree))


def quiet() -> None:
    """Send what this process and its tests say nowhere."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)


def _tested(tests: list[str], took: dict[str, float], tree: Path) -> int:
    settle(tree)
    quiet()
    code = 0
    chosen = tree / "chosen.json"
    os.environ["MUTATION_TESTS"] = str(chosen)
    for part in filter(None, (tests[:FIRST], tests[FIRST:])):
        chosen.write_text(json.dumps({test: took.get(test, 0.0) for test in part}))
        files = sorted({test.partition("::")[0] for test in part})
        code = code or int(pytest.main([*OPTIONS, *files]))
    return code
