"""Break the engine on purpose, a little each time, and see which tests notice.

    python tests/mutation/run.py --sample 300 --seed 1 | tee said.txt
    python tests/mutation/run.py --again said.txt --tests tests/laws/test_edges.py

First every test of the parts runs once and its lines are noted. Then each mutant
of a seeded sample is put into a copy of the tree, and only the tests that run its
lines are run, until the first fails. What lives and changes nothing is listed by
hand, with a reason, in ``equivalent.toml``. Run by hand: some minutes where nobody
else is at work; some more with ``--whole``, which sees first that every test passes
unbroken where the quick way runs it.
"""

import argparse
import ast
import random
import sys
import tempfile
import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

from mutants import NO_LINE, Mutant, mutants_of
from quick import quick_ends
from tqdm import tqdm
from trial import (
    PARTS,
    TREE,
    Learned,
    copy_of_the_tree,
    ends,
    learn,
    modules,
    tests_of,
)

WANTED = 0.95


def unbroken(sample: list[Mutant]) -> list[Mutant]:
    """Return a first mutant of each part with its change taken back."""
    firsts = {
        part: mutant
        for mutant in reversed(sample)
        for part in PARTS
        if mutant.module.startswith(part)
    }
    return [
        replace(one, make=partial(_unchanged, one.module)) for one in firsts.values()
    ]


def refuse_a_broken_start(
    sample: list[Mutant], learned: Learned, trees: list[Path], *, whole: bool
) -> None:
    """Stop where tests fail with nothing changed: a kill would mean nothing.

    Both ways of trying are looked at on the lines of one mutant of each part; the
    quick one, where ``whole`` is asked for, on every test of each part too.
    """
    parts = {tuple(tests_of(Path(one.module))[:-1]): one for one in unbroken(sample)}
    ended = [*all_ends(unbroken(sample), learned, trees)]
    if whole:
        everything = [replace(one, lines=NO_LINE) for one in parts.values()]
        ended += quick_ends(everything, learned, trees[0], workers=len(trees))
    for one, end in ended:
        if end != "lived":
            sys.exit(f"{one.module} fails its tests with nothing changed: {end}")


def _unchanged(module: str) -> str:
    """Return a module as it comes out of its syntax tree."""
    return ast.unparse(ast.parse((TREE / module).read_text("utf-8")))


def equivalent(every: list[Mutant]) -> set[str]:
    """Return the names of those listed as changing nothing; each must still exist."""
    text = (Path(__file__).parent / "equivalent.toml").read_text(encoding="utf-8")
    listed = {entry["mutant"] for entry in tomllib.loads(text)["equivalent"]}
    if gone := listed - {mutant.name for mutant in every}:
        sys.exit("equivalent.toml names what is no mutant:\n" + "\n".join(sorted(gone)))
    return listed


def all_ends(
    mutants: list[Mutant], learned: Learned, trees: list[Path]
) -> Iterator[tuple[Mutant, str]]:
    """Return how each mutant ended: tried the quick way first, then in full."""
    left = {mutant.name: mutant for mutant in mutants}
    for mutant, end in quick_ends(mutants, learned, trees[0], workers=len(trees)):
        del left[mutant.name]
        yield mutant, end
    yield from ends(left.values(), learned, trees)


def asked_for() -> argparse.Namespace:
    """Read the command line."""
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--sample", type=int, default=300, help="mutants to try")
    ask.add_argument("--seed", type=int, nargs="+", default=[1], help="which samples")
    ask.add_argument("--workers", type=int, default=2)
    ask.add_argument("--only", default="", help="mutants whose name has this text")
    ask.add_argument("--again", type=Path, help="those that lived, in what was printed")
    ask.add_argument("--tests", nargs="+", help="no other tests than these")
    ask.add_argument(
        "--whole", action="store_true", help="see every test pass unbroken first"
    )
    return ask.parse_args()


def main() -> int:
    """Run the samples and say what was killed, what lived and what cannot be told."""
    asked = asked_for()
    every = [
        mutant
        for module in modules()
        for mutant in mutants_of(
            module.as_posix(), (TREE / module).read_text(encoding="utf-8")
        )
    ]
    nothing = equivalent(every)
    chosen = [mutant for mutant in every if asked.only in mutant.name]
    if asked.again:
        said = asked.again.read_text(encoding="utf-8")
        chosen = [mutant for mutant in chosen if f"{mutant.name} (line" in said]
    tests = asked.tests or sorted({t for module in modules() for t in tests_of(module)})
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        trees = [copy_of_the_tree(TREE, folder / "tree_0")]
        learned = learn(trees[0], folder, tests, workers=asked.workers)
        trees += [
            copy_of_the_tree(trees[0], folder / f"tree_{worker}")
            for worker in range(1, asked.workers)
        ]
        refuse_a_broken_start(chosen, learned, trees, whole=asked.whole)
        noticed = []
        for seed in asked.seed:
            draw = random.Random(seed)
            sample = draw.sample(chosen, min(asked.sample, len(chosen)))
            changing = [mutant for mutant in sample if mutant.name not in nothing]
            count = Counter()
            tries = all_ends(changing, learned, trees)
            for mutant, end in tqdm(tries, total=len(changing), smoothing=0):
                count[end] += 1
                if end != "killed":
                    tqdm.write(f"{end:8} {mutant.name} (line {mutant.lines[0]})")
                    sys.stdout.flush()
            noticed.append(1 - count["lived"] / max(len(changing), 1))
            print(
                f"{len(sample)} of {len(every)} mutants, seed {seed}: "
                f"{count['killed']} killed, {count['timeout']} out of time, "
                f"{count['lived']} lived, "
                f"{len(sample) - len(changing)} change nothing; "
                f"{noticed[-1]:.1%} of those that change anything are noticed",
                flush=True,
            )
    return 0 if min(noticed) >= WANTED else 1


if __name__ == "__main__":
    sys.exit(main())
