"""Trying a mutant where all is loaded: only the code of its function is changed.

The tests are collected once. Each try is a fork that takes the changed code into
the functions there are and runs the tests of its lines. What is made when a module
is read, such as a table, stays as it was: who lives here is tried again by `trial`,
and so is whatever stands outside of functions.
"""

from __future__ import annotations

import ast
import gc
import inspect
import os
from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import cached_property
from importlib import import_module
from pathlib import Path
from types import CodeType, FunctionType, ModuleType

import plugin
import pytest
from _pytest.runner import runtestprotocol
from mutants import Mutant
from trial import OPTIONS, Learned, make_ready, quiet, settle

KILLED, LIVED, NOT_HERE = 1, 0, 3


def quick_ends(
    mutants: Sequence[Mutant], learned: Learned, tree: Path, *, workers: int
) -> Iterator[tuple[Mutant, str]]:
    """Return mutants that were killed, or ran out of time; the others are left."""
    make_ready()
    reading, writing = os.pipe()
    pid = os.fork()
    if not pid:
        os.close(reading)
        try:
            settle(tree)
            quiet()
            files = sorted({test.partition("::")[0] for test in learned.took})
            loop = _Loop(mutants, learned, os.fdopen(writing, "w"), workers)
            pytest.main([*OPTIONS, "-s", *files], plugins=[loop])
        finally:
            os._exit(0)
    os.close(writing)
    with os.fdopen(reading) as ended:
        for line in ended:
            place, end = line.split()
            yield mutants[int(place)], end
    os.waitpid(pid, 0)


class _Loop:
    """A pytest plugin that runs no test itself, but forks to try mutants."""

    def __init__(self, mutants, learned, ended, workers):
        self.mutants, self.learned = mutants, learned
        self.ended, self.workers = ended, workers

    def pytest_runtestloop(self, session):
        items = defaultdict(list)
        for item in session.items:
            items[plugin.plain(item.nodeid)].append(item)
        gc.freeze()  # what is shared by all forks is looked through by none
        running = {}
        for place, mutant in enumerate(self.mutants):
            if len(running) == self.workers:
                self._wait(running)
            pid = os.fork()
            if not pid:
                code = NOT_HERE
                try:
                    code = self._tried(mutant, items)
                finally:
                    os._exit(code)
            running[pid] = place
        while running:
            self._wait(running)
        return True

    def _wait(self, running):
        pid, status = os.wait()
        place = running.pop(pid)
        if os.WIFSIGNALED(status):
            print(place, "timeout", file=self.ended, flush=True)
        elif os.WEXITSTATUS(status) == KILLED:
            print(place, "killed", file=self.ended, flush=True)

    def _tried(self, mutant, items):
        if not _changed(mutant):
            return NOT_HERE
        own = Path(f"tmp_{os.getpid()}")
        own.mkdir()
        os.environ["PYTEST_DEBUG_TEMPROOT"] = str(own.absolute())
        tests = self.learned.covering(mutant)
        plugin.took_unbroken({name: self.learned.took.get(name, 0) for name in tests})
        todo = [item for name in tests for item in items[name]]
        for item, following in zip(todo, [*todo[1:], None], strict=True):
            reports = runtestprotocol(item, log=False, nextitem=following)
            if any(report.failed for report in reports):
                return KILLED
        return LIVED


def _changed(mutant: Mutant) -> bool:
    """Take a mutant's code into the functions there are; tell whether that is all."""
    name = mutant.module.removesuffix(".py").replace("/", ".")
    module = import_module(name)
    source = Path(module.__file__).read_text(encoding="utf-8")
    whole, other = (
        compile(text, module.__file__, "exec")
        for text in (ast.unparse(ast.parse(source)), mutant.make())
    )
    if _outside(whole) != _outside(other):
        return False
    before = [*_functions(whole)]  # several may have one name, as ``<lambda>``
    changed = [found for found in _functions(other) if found not in before]
    return all(_taken(module, at, code) for at, code in changed)


def _functions(code: CodeType) -> Iterator[tuple[str, CodeType]]:
    """Return the functions and methods of a module or class body."""
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            if inner.co_flags & inspect.CO_OPTIMIZED:
                yield inner.co_qualname, inner
            else:
                yield from _functions(inner)


def _outside(code: CodeType) -> tuple[object, ...]:
    """Return all that runs when a module is read, to be compared."""
    rest = [
        _outside(one) if not one.co_flags & inspect.CO_OPTIMIZED else one.co_qualname
        for one in code.co_consts
        if isinstance(one, CodeType)
    ]
    plain = [repr(one) for one in code.co_consts if not isinstance(one, CodeType)]
    return code.co_code, code.co_names, plain, rest


def _taken(module: ModuleType, qualname: str, code: CodeType) -> bool:
    """Take code into a living function; tell whether there is one for it."""
    found: object = module
    for part in qualname.split("."):
        found = vars(found).get(part)
        if found is None:
            return False
    if isinstance(found, property):
        found = found.fget
    elif isinstance(found, cached_property):
        found = found.func
    elif isinstance(found, staticmethod | classmethod):
        found = found.__func__
    if hasattr(found, "cache_clear"):
        found.cache_clear()
    function = inspect.unwrap(found)
    if not isinstance(function, FunctionType):
        return False
    if function.__code__.co_freevars != code.co_freevars:
        return False
    function.__code__ = code
    return True
