"""Break the engine on purpose, a little each time, and see which tests notice.

    python tests/mutation/run.py --sample 300 --seed 1

First every test of the parts runs once and its lines are noted. Then each mutant
of a seeded sample is put into a copy of the tree, and only the tests that run its
lines are run, until the first fails. What lives and changes nothing is listed by
hand, with a reason, in ``equivalent.toml``. Run by hand: about 40 minutes.
"""

import argparse
import ast
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
import tomllib
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from functools import partial
from pathlib import Path
from queue import Queue

import coverage
from mutants import Mutant, mutants_of

HERE = Path(__file__).parent
TREE = HERE.parents[1]
WANTED = 0.95
# Each part and the tests that are its own.
PARTS = {
    "workbook/mechanics": ["tests/laws", "tests/references", "tests/scenes"],
    "workbook/quantities": [
        "tests/quantities",
        "tests/forms",
        "tests/references/test_exact_units.py",
    ],
    "workbook/exercises/declaration.py": ["tests/exercises"],
    "workbook/exercises/engine.py": ["tests/exercises"],
    "workbook/exercises/marking.py": ["tests/exercises"],
    "workbook/exercises/replay.py": ["tests/exercises"],
}
LONGEST = 120  # s for the tests of one mutant, whatever they took unbroken


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


def copy_of_the_tree(folder: Path) -> Path:
    """Copy what the tests need, so that nobody's own files are changed."""
    shutil.copytree(
        TREE,
        folder,
        ignore=shutil.ignore_patterns(".git", ".venv", "__pycache__", ".*_cache"),
    )
    return folder


def pytest(
    tree: Path, *arguments: str, timeout: float | None = None, **setting: str
) -> int:
    """Run pytest in a copy of the tree; 0 where all passes, -1 where time runs out."""
    start = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider"]
    if "MUTATION_LINES" in setting:
        start[1:2] = [
            "-m",
            "coverage",
            "run",
            f"--data-file={setting['MUTATION_LINES']}",
        ]
        start[5:5] = [f"--source={','.join(['workbook'])}", "-m"]
    path = os.pathsep.join([str(tree), str(tree / "tests/mutation")])
    environment = {
        **os.environ,
        "CI": "true",
        "COVERAGE_CORE": "ctrace",
        "PYTHONDONTWRITEBYTECODE": "1",
        "PYTHONPATH": path,
        **setting,
    }
    process = subprocess.Popen(
        [*start, "-p", "plugin", *arguments],
        cwd=tree,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        start_new_session=True,
    )
    try:
        said, _ = process.communicate(timeout=timeout)
    except subprocess.TimeoutExpired:
        process.kill()
        process.communicate()
        return -1
    if process.returncode > 1 and not setting.get("MUTATION_TESTS"):
        sys.exit(said)
    return process.returncode


def learn(tree: Path, folder: Path) -> tuple[dict, dict]:
    """Run all tests unbroken; return the tests of each line, and their times."""
    lines, times = folder / "lines", folder / "times"
    asked = sorted({test for module in modules() for test in tests_of(module)})
    setting = {"MUTATION_LINES": str(lines), "MUTATION_TIMES": str(times)}
    if pytest(tree, *asked, **setting):
        sys.exit("the tests fail before anything is broken; mend them first")
    took: dict[str, float] = {}
    for line in times.read_text().splitlines():
        test, seconds = json.loads(line)
        took[test] = took.get(test, 0.0) + seconds
    data = coverage.CoverageData(str(lines))
    data.read()
    seen = {}
    for module in modules():
        by_line = data.contexts_by_lineno(str(tree / module))
        seen[module.as_posix()] = {
            number: {name for name in names if name}
            for number, names in by_line.items()
        }
    return seen, took


def covering(mutant: Mutant, seen: dict, took: dict) -> list[str]:
    """Return the tests that run a mutant's lines, the quickest first.

    Lines that run once, when the module is read, belong to all its tests.
    """
    by_line = seen[mutant.module]
    own = {test.partition("::")[0] for test in tests_of(Path(mutant.module))}
    first, last = mutant.lines
    tests = set().union(*(by_line.get(n, set()) for n in range(first, last + 1)))
    if not tests:
        tests = set().union(*by_line.values())
    if not tests:  # a table: nothing in it runs but when it is read
        tests = set(took)
    kept = [t for t in tests if any(t.startswith(folder) for folder in own)]
    return sorted(kept, key=lambda test: took.get(test, 0.0))


def tried(mutant: Mutant, tests: list[str], took: dict, tree: Path) -> str:
    """Put a mutant into a copy of the tree and return how it ended."""
    if not tests:
        return "lived"
    place = tree / mutant.module
    whole = place.read_text(encoding="utf-8")
    chosen = tree / "chosen.json"
    chosen.write_text(json.dumps(tests), encoding="utf-8")
    place.write_text(mutant.make(), encoding="utf-8")
    try:
        limit = min(20 + 5 * sum(took.get(test, 0.0) for test in tests), LONGEST)
        files = sorted({test.partition("::")[0] for test in tests})
        ended = pytest(tree, "-x", *files, timeout=limit, MUTATION_TESTS=str(chosen))
    finally:
        place.write_text(whole, encoding="utf-8")
    return {0: "lived", 1: "killed", 2: "killed", -1: "timeout"}[ended]


def unbroken(sample: list[Mutant]) -> list[Mutant]:
    """Return a first mutant of each part with its change taken back."""
    firsts = {
        part: mutant
        for mutant in sample
        for part in PARTS
        if mutant.module.startswith(part)
    }
    return [
        replace(one, make=partial(_unchanged, one.module)) for one in firsts.values()
    ]


def _unchanged(module: str) -> str:
    """Return a module as it comes out of its syntax tree."""
    return ast.unparse(ast.parse((TREE / module).read_text("utf-8")))


def main() -> int:
    """Run the sample and say what was killed, what lived and what cannot be told."""
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--sample", type=int, default=300, help="mutants to try")
    ask.add_argument("--seed", type=int, default=1, help="which sample")
    ask.add_argument("--workers", type=int, default=2)
    ask.add_argument("--only", default="", help="mutants whose name has this text")
    ask.add_argument("--again", type=Path, help="those that lived, in what was printed")
    asked = ask.parse_args()

    every = [
        mutant
        for module in modules()
        for mutant in mutants_of(
            module.as_posix(), (TREE / module).read_text(encoding="utf-8")
        )
        if asked.only in mutant.name
    ]
    if asked.again:
        said = asked.again.read_text(encoding="utf-8")
        every = [mutant for mutant in every if mutant.name + " (line" in said]
    sample = random.Random(asked.seed).sample(every, min(asked.sample, len(every)))
    listed = tomllib.loads((HERE / "equivalent.toml").read_text(encoding="utf-8"))
    equivalent = {entry["mutant"]: entry["reason"] for entry in listed["equivalent"]}

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        trees: Queue[Path] = Queue()
        for worker in range(asked.workers):
            trees.put(copy_of_the_tree(folder / f"tree_{worker}"))
        seen, took = learn(folder / "tree_0", folder)
        for whole in unbroken(sample):
            tests = covering(whole, seen, took)
            if tried(whole, tests, took, folder / "tree_0") != "lived":
                sys.exit(f"{whole.module} fails its tests with nothing changed")

        def outcome(mutant: Mutant) -> tuple[Mutant, str]:
            if mutant.name in equivalent:
                return mutant, "equivalent"
            tree = trees.get()
            try:
                return mutant, tried(mutant, covering(mutant, seen, took), took, tree)
            finally:
                trees.put(tree)

        ends = {"killed": 0, "timeout": 0, "lived": 0, "equivalent": 0}
        with ThreadPoolExecutor(asked.workers) as pool:
            for mutant, end in pool.map(outcome, sample):
                ends[end] += 1
                if end != "killed":
                    print(
                        f"{end:10} {mutant.name} (line {mutant.lines[0]})", flush=True
                    )

    changing = len(sample) - ends["equivalent"]
    noticed = (ends["killed"] + ends["timeout"]) / max(changing, 1)
    print(
        f"{len(sample)} of {len(every)} mutants, seed {asked.seed}: "
        f"{ends['killed']} killed, {ends['timeout']} out of time, "
        f"{ends['lived']} lived, {ends['equivalent']} change nothing; "
        f"{noticed:.1%} of those that change anything are noticed"
    )
    return 0 if noticed >= WANTED else 1


if __name__ == "__main__":
    sys.exit(main())
