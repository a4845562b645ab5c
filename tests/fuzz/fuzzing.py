"""Odd inputs to every command and file: none may raise, hang or leave half a file.

Each kind of input is a good one, spoilt, and fed to the command as a user would,
in this process. An exception, a refusal that is not one plain sentence, an order to
the terminal, and a file left half written are faults.
"""

import contextlib
import errno
import io
import os
import random
import re
import shutil
import sys
import time
import traceback
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from runpy import run_path
from unittest import mock

import mutations

from workbook.classroom.keys import key_json
from workbook.classroom.roll import read_class
from workbook.cli import main
from workbook.cli.commands import COMMANDS, build_parser
from workbook.exercises import EXERCISES
from workbook.exercises.answers.quantity import Quantity
from workbook.exercises.engine import variant_for
from workbook.exercises.marking import History, mark
from workbook.exercises.wording import feedback
from workbook.quantities.table import KINDS
from workbook.quantities.typed import read_quantity
from workbook.quantities.units import METRIC
from workbook.reader.opening import MANIFEST, copy_lessons
from workbook.reader.record import FILE, Record
from workbook.reader.record_lines import line_text
from workbook.reader.settings import remember_units, settings_file, unit_system
from workbook.scenes.kestrin import kestrin_plan
from workbook.scenes.set_up_files import to_toml
from workbook.scenes.setups import Setup

# Other tests have a conftest too, so that its name alone finds another.
Class = run_path(str(Path(__file__).parents[1] / "cli" / "conftest.py"))["Class"]
ORDERS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
PARSER = cache(build_parser)  # the same every time, and half of the time it takes
SCENES = Path(sys.modules["workbook.scenes"].__file__).parent
TYPED = [kind for kind, row in KINDS.items() if row.typed]
ANSWERS = [("2.1", "right"), ("2.2", "77 kN"), ("8.1", "3 kN"), ("8.2", "right")]


@cache
def made_variants():
    """Return numbers of every exercise whose answer is made, or picked."""
    return [
        variant_for(one, class_key="oak", student="K7")
        for one in EXERCISES.values()
        if not isinstance(one.answer, Quantity)
    ]


@dataclass
class Found:
    """What a run came to."""

    inputs: int = 0
    by_kind: dict = field(default_factory=dict)
    refused: int = 0
    faults: list = field(default_factory=list)
    half_written: int = 0
    slowest: tuple = (0.0, "", b"")


class FaultError(AssertionError):
    """What must not happen, other than an exception."""


def command(*argv, stdin=b""):
    """Run a command as a user would; refuse what is no plain sentence."""
    out, err = io.StringIO(), io.StringIO()
    given = io.TextIOWrapper(io.BytesIO(stdin))
    with (
        mock.patch("workbook.cli.build_parser", PARSER),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
        mock.patch.object(sys, "stdin", given),
    ):
        try:
            status = main([*map(str, argv)])
        except SystemExit as ended:
            status = ended.code
    if status not in (0, 1, 2):
        raise FaultError(f"status {status}")
    if status == 1 and not err.getvalue().splitlines()[-1].startswith("pullwright: "):
        raise FaultError(f"refused without a sentence: {err.getvalue()[-300:]!r}")
    for said in (out.getvalue(), err.getvalue()):
        if ORDERS.search(said):
            raise FaultError(f"an order to the terminal: {said[:300]!r}")
    return status


class Fuzzer:
    """Good inputs in a folder of their own, and a way to spoil each kind."""

    def __init__(self, folder, seed):
        self.rng, self.folder = random.Random(seed), folder
        self.room = Class(folder, [{"name": "Kim"}, {"name": "Lee", "id": "7"}])
        for code in self.room.codes:
            self.room.hand_in(code, ANSWERS)
        assert command(*self._mark()) == 0
        lines = [
            line_text(line)
            for path in sorted(self.room.folder.iterdir())
            for line in Record(path).lines()
        ]
        point = "id,length,width,height,limit\n"
        point += "".join(f"P{n},{n * 400},{n % 3 * 300},{n}.5,3\n" for n in range(8))
        self.good = {
            "set-up": to_toml(Setup(title="Good")).encode(),
            "clamp": (SCENES / "kestrin_clamps.toml").read_bytes(),
            "plan": kestrin_plan().encode(),
            "point": point.encode(),
            "names": b"name,id,email\nKim,1,k@example.org\nLee,2,\n",
            "class": self.room.file.read_bytes(),
            "hand mark": b"code,exercise,mark,why\n%s,2.1,50,x\n"
            % self.room.codes[0].encode(),
            "hand-in": next(iter(sorted(self.room.folder.iterdir()))).read_bytes(),
            "key": key_json(self.room.list, "L02"),
            "marks": (self.room.out / "marks.jsonl").read_bytes(),
            "files list": (self.room.out / "pullwright-files.json").read_bytes(),
            "record": ("\n".join(lines) + "\n").encode(),
            "settings": b'{"units": "lbf-inch", "language": "en"}',
            "shipped": b'{"a.ipynb": {"file": "0", "text": "1"}}',
        }
        self.kinds = {
            "typed answer": (40, self._typed_answer),
            "made answer": (4, self._made_answer),
            "command line": (10, self._command_line),
            "set-up": (12, self._set_up),
            "clamp": (3, self._clamp),
            "plan": (1, self._plan),
            "point": (8, self._point),
            "names": (4, self._names),
            "class": (3, self._class_list),
            "hand mark": (2, self._hand_mark),
            "hand-in": (4, self._hand_in),
            "key": (2, self._key),
            "marks": (3, self._marks),
            "files list": (1, self._files_list),
            "record": (4, self._record),
            "settings": (2, self._settings),
            "shipped": (2, self._shipped),
        }

    def _mark(self, *more):
        return ("mark", self.room.file, self.room.folder, "-o", self.room.out, *more)

    def spoilt(self, kind, how):
        """Return a good input of a kind, spoilt once or twice, and remember it."""
        data = self.good[kind]
        if self.rng.random() < 0.05:
            return self._told(data)
        other = self.good[self.rng.choice([*self.good])]
        for _ in range(self.rng.choice((1, 1, 1, 2))):
            way = how if self.rng.random() < 0.75 else mutations.bytes_shuffled
            data = way(self.rng, data, other) or b"x"
        return self._told(data)

    def _told(self, data):
        self.input = data
        return data

    # ------------------------------------------------------------- one input a kind

    def _typed_answer(self):
        kind = self.rng.choice(TYPED)
        text = mutations.typed(self.rng, KINDS[kind].typed)
        self.input = text.encode("utf-8", "surrogatepass")
        read = read_quantity(text, kind=kind)
        if (read.value is None) == (read.problem is None) or ORDERS.search(
            read.sentence
        ):
            raise FaultError(f"neither read nor asked back: {read}")

    def _made_answer(self):
        variant = self.rng.choice(made_variants())
        answer = variant.exercise.answer
        right = answer.typed(variant.answer).encode()
        other = answer.typed(variant.worked_copy.answer).encode()
        text = mutations.bytes_shuffled(self.rng, right, other).decode(errors="replace")
        if self.rng.random() < 0.3:
            text = mutations.typed(self.rng, ("kN", "deg", "mm")) + text
        self.input = text.encode("utf-8", "surrogatepass")
        outcome = mark(variant, text)
        told = " ".join(feedback(outcome, variant, History()))
        if not told or not 0 <= outcome.score <= 1 or ORDERS.search(told):
            raise FaultError(f"{outcome.name}, {outcome.score}: {told[:300]!r}")

    def _command_line(self):
        words = [
            *COMMANDS, "--json", "--picture", "--units", "lbf-inch", "--spec",
            "kestrin", "--clamps", "--base", "LF1,RF1", "--box", "--kinds",
            "--planes-mm", "-o", "out", "--lesson", "L07", "--mark-as", "7.2=2",
            "--column", "L07=Q", "--key", "names.csv", "good.toml", "class.csv",
            "hand-ins", "a.svg", "-", "--help",
            *(t.replace("\ud800", "\udc80") for t in mutations.TOKENS[:30]),
        ]  # fmt: skip
        words = [w for w in words if w not in ("open", "handout", "/dev/null")]
        argv = [
            self.rng.choice([*COMMANDS]),
            *self.rng.choices(words, k=self.rng.randint(0, 6)),
        ]
        self.input = repr(argv).encode()
        if "open" in argv or "handout" in argv or any("\0" in w for w in argv):
            return None
        if argv[0] == "key" and "L07" in argv:  # sets a PDF, which takes a second
            return None
        place = self.folder / "there"
        place.mkdir(exist_ok=True)
        (place / "good.toml").write_bytes(self.good["set-up"])
        (place / "names.csv").write_bytes(self.good["names"])
        (place / "class.csv").write_bytes(self.good["class"])
        with contextlib.chdir(place):
            return command(*argv, stdin=self.good["set-up"])

    def _fed(self, name, data, *argv):
        """Run a command on a file that holds ``data``, or on standard input."""
        if self.rng.random() < 0.2:
            return command(*("-" if a is None else a for a in argv), stdin=data)
        file = self.folder / name
        file.write_bytes(data)
        return command(*(file if a is None else a for a in argv))

    def _set_up(self):
        data = self.spoilt("set-up", mutations.toml)
        more = self.rng.choice(((), ("--json",), ("--units", "lbf-inch")))
        if self.rng.random() < 0.1:
            return self._whole(
                "picture.svg", lambda file: self._fed(
                    "set-up.toml", data, "pull", None, "--picture", file, *more
                ), b"</svg>",
            )  # fmt: skip
        return self._fed("set-up.toml", data, "pull", None, *more)

    def _clamp(self):
        data = self.spoilt("clamp", mutations.toml)
        (self.folder / "good.toml").write_bytes(self.good["set-up"])
        return self._fed(
            "clamps.toml", data, "bench", self.folder / "good.toml", "--clamps", None
        )

    def _plan(self):
        data = self.spoilt("plan", mutations.toml)
        return self._whole(
            "best.toml",
            lambda file: self._fed("plan.toml", data, "plan", None, "--write", file),
            b"",
        )

    def _point(self):
        data = self.spoilt("point", mutations.table)
        (self.folder / "spec.csv").write_bytes(self.good["point"])
        name = self.rng.choice(("survey", "damage"))
        return self._fed(
            "points.csv", data, name, None, "--spec", self.folder / "spec.csv"
        )

    def _names(self):
        file = self.folder / "names.csv"
        file.write_bytes(self.spoilt("names", mutations.table))
        made = "new class.csv"
        status = self._whole(
            made, lambda out: command("class", file, "-o", out), b"", alone=False
        )
        if (self.folder / made).exists():
            read_class(self.folder / made)
        return status

    def _class_list(self):
        file = self.folder / "spoilt class.csv"
        file.write_bytes(self.spoilt("class", mutations.table))
        if self.rng.random() < 0.5:
            return command("class", self.folder / "more.csv", "-o", file)
        return command("mark", file, self.room.folder, "-o", self.folder / "elsewhere")

    def _hand_mark(self):
        self._kept("hand-marks.csv", self.spoilt("hand mark", mutations.table))
        return command(*self._mark())

    def _hand_in(self):
        file = self.room.folder / "hand-in spoilt.txt"
        file.write_bytes(self.spoilt("hand-in", mutations.json_lines))
        if self.rng.random() < 0.3:
            return self._full_disk(lambda: command(*self._mark()))
        return command(*self._mark())

    def _key(self):
        file = self.folder / "key.json"
        file.write_bytes(self.spoilt("key", mutations.json_text))
        return command(*self._mark("--key", file))

    def _marks(self):
        self._kept("marks.jsonl", self.spoilt("marks", mutations.json_lines))
        out, room = self.room.out, self.room.file
        return command(
            *self.rng.choice(
                (("remark", room, out), ("report", room, out), self._mark())
            )
        )

    def _files_list(self):
        self._kept(
            "pullwright-files.json", self.spoilt("files list", mutations.json_text)
        )
        return command(*self._mark())

    def _kept(self, name, data):
        (self.room.out / name).write_bytes(data)

    def _record(self):
        file = self.folder / "reader" / FILE
        file.parent.mkdir(exist_ok=True)
        file.write_bytes(self.spoilt("record", mutations.json_lines))
        record = Record(file)
        record.mine("answer")
        for one in file.parent.glob("hand-in*"):
            one.unlink()
        status = self._full_disk(lambda: command("hand-in", file.parent))
        for one in file.parent.glob("hand-in*"):
            if b"# end: " not in one.read_bytes().splitlines()[-1]:
                raise FaultError("half a hand-in")
        return status

    def _settings(self):
        file = settings_file()
        file.parent.mkdir(exist_ok=True)
        file.write_bytes(self.spoilt("settings", mutations.json_text))
        unit_system()
        remember_units(METRIC)
        if unit_system() is not METRIC:
            raise FaultError("a choice of units was not kept")
        file.unlink()

    def _shipped(self):
        place = self.folder / "lessons"
        shutil.rmtree(place, ignore_errors=True)
        place.mkdir()
        data = self.spoilt("shipped", mutations.json_text)
        target = self.rng.choice((MANIFEST, "a.ipynb"))
        (place / target).write_bytes(data)
        copy_lessons(place, shipped={"a.ipynb": b'{"cells": []}'})

    # ------------------------------------------------------------------- whole files

    def _full_disk(self, act):
        """Do something, at times on a disk that fills at some file."""
        if self.rng.random() < 0.5:
            return act()
        left, sync = self.rng.randint(0, 4), os.fsync

        def full(number):
            nonlocal left
            left -= 1
            if left < 0:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            sync(number)

        with mock.patch("workbook.files.os.fsync", full):
            return act()

    def _whole(self, name, act, ending, *, alone=True):
        """Have a file written over an old one: it is the old one or a whole new one.

        One that is not ``alone`` is whole, too, where a file after it is not written.
        """
        file = self.folder / name
        if name == "new class.csv":
            file.unlink(missing_ok=True)
        else:
            file.write_bytes(b"old")
        status = self._full_disk(lambda: act(file))
        there = file.read_bytes() if file.exists() else b"old"
        old, done = there == b"old", status == 0
        if (old if done else alone and not old) or not (
            old or there.rstrip().endswith(ending)
        ):
            raise FaultError(f"status {status}, but {name} holds {there[:80]!r}")
        return status

    def again(self):
        """Put the class as it was, so that one spoilt file does not hide the next."""
        (self.room.folder / "hand-in spoilt.txt").unlink(missing_ok=True)
        shutil.rmtree(self.room.out, ignore_errors=True)
        self.room.out.mkdir()
        for name, kind in (
            ("marks.jsonl", "marks"), ("pullwright-files.json", "files list"),
        ):  # fmt: skip
            self._kept(name, self.good[kind])


def fuzz(folder, *, inputs, seed, kinds=(), tell=lambda _: None):
    """Feed so many inputs, and return what they came to.

    Settings are kept in ``folder`` too, and must be before this is called.
    """
    fuzzer, found = Fuzzer(folder, seed), Found()
    chosen = {k: v for k, v in fuzzer.kinds.items() if not kinds or k in kinds}
    weights = [weight for weight, _ in chosen.values()]

    for number in range(inputs):
        kind = fuzzer.rng.choices([*chosen], weights)[0]
        fuzzer.input = b""
        start = time.process_time()
        try:
            status = chosen[kind][1]()
            found.refused += status == 1
        except Exception as error:
            where = traceback.extract_tb(error.__traceback__)[-1]
            place = f"{Path(where.filename).name}:{where.lineno}"
            found.faults.append((kind, f"{error!r:.300} at {place}", fuzzer.input))
            tell(f"{kind}: {error!r:.300} at {place}")
        spent = time.process_time() - start
        found.slowest = max(found.slowest, (spent, kind, fuzzer.input))
        found.by_kind[kind] = found.by_kind.get(kind, 0) + 1
        found.inputs += 1
        if kind in ("hand mark", "hand-in", "marks", "files list", "key"):
            fuzzer.again()
        if number % 50 == 49 or number == inputs - 1:
            left = [*folder.rglob(".*.part")]
            found.half_written += len(left)
            for part in left:
                part.unlink()
    return found
