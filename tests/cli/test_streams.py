"""Closed, full and endless streams, odd files, a stop at any moment: one sentence."""

import json
import os
import re
import subprocess
import sys

import pytest

from workbook.cli import main
from workbook.scenes.set_up_files import to_toml
from workbook.scenes.setups import Setup

SETUP = to_toml(Setup(title="Plain"))


@pytest.fixture(autouse=True)
def own_settings(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))


@pytest.fixture
def setup_file(tmp_path):
    file = tmp_path / "setup.toml"
    file.write_text(SETUP, "utf-8")
    return file


def in_shell(line, **options):
    """Run a command line of a shell; return status and what it said of trouble."""
    line = line.replace("pullwright", f"'{sys.executable}' -m workbook")
    ended = subprocess.run(
        ["bash", "-c", line], capture_output=True, text=True, timeout=60, **options
    )
    return ended.returncode, ended.stderr


def refused(capsys, *argv):
    assert main([*map(str, argv)]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    return said.err


@pytest.mark.parametrize(
    ("line", "status", "sentence"),
    [
        ("pullwright pull - <&-", 1, "standard input is closed: name a file"),
        ("pullwright pull - < /dev/zero", 1, "at most 100000 bytes; this has more"),
        ("pullwright pull /dev/zero", 1, "at most 100000 bytes; this has more"),
        ("pullwright survey - --spec kestrin < /dev/zero", 1, "too much"),
        ("pullwright plan - 0>&1 </dev/null 0<&-", 1, "standard input is closed"),
        ("pullwright pull setup.toml >&-", 1, "standard output is closed"),
        ("pullwright pull setup.toml >/dev/full", 1, "standard output: no space left"),
        ("pullwright pull setup.toml --picture no/a.svg", 1, "no/a.svg: no such file"),
        ("pullwright pull nothing.toml 2>&-", 1, ""),
        ("pullwright --version 2>&-", 0, ""),
    ],
)
def test_closed_full_and_endless_streams_are_one_sentence(
    line, status, sentence, setup_file
):
    ended, said = in_shell(line, cwd=setup_file.parent)

    assert ended == status
    assert sentence in said
    assert said.count("\n") == (1 if sentence else 0)


def test_a_pipe_closed_early_is_no_trouble(setup_file):
    line = "pullwright pull setup.toml | true; echo ${PIPESTATUS[0]} >&2"

    _, said = in_shell(line, cwd=setup_file.parent)

    assert said.strip() in {"0", "1"}


@pytest.mark.parametrize(
    "loaded", ["workbook.cli", "argparse", "numpy", "workbook.scenes.fields"]
)
def test_a_stop_while_the_program_loads_ends_quietly(loaded, setup_file):
    """Ctrl-C in the middle of an import, as in the first 50 ms."""
    stop = f"""
import signal, sys
class Stop:
    def find_spec(self, name, *_):
        if name == {loaded!r}:
            signal.raise_signal(signal.SIGINT)
from workbook.__main__ import main
sys.modules.pop("argparse", None)
sys.meta_path.insert(0, Stop())
sys.argv[1:] = ["pull", {str(setup_file)!r}]
sys.exit(main())
"""
    ended = subprocess.run([sys.executable, "-c", stop], capture_output=True, text=True)

    assert (ended.returncode, ended.stderr) == (130, "")


def test_a_number_without_end_in_a_set_up_file_is_refused(tmp_path, capsys):
    file = tmp_path / "setup.toml"
    file.write_text("form = 1\n[ram]\nlean_deg = 0x" + "f" * 3600)

    assert "an endless number" in refused(capsys, "pull", file)


@pytest.mark.parametrize(
    "content",
    [
        "form = 1\n[ram]\npart = 0x{}",
        "form = 1\n[ram]\nlean_deg = [0x{}]",
        "form = 1\n[ram]\nlean_deg = {{a = 0x{}}}",
        "form = 0x{}",
        "form = 1\ntitle = 0x{}",
    ],
)
def test_such_a_number_is_refused_wherever_it_stands(content, tmp_path, capsys):
    file = tmp_path / "setup.toml"
    file.write_text(content.format("f" * 3600))

    refused(capsys, "pull", file)


CELL = '"' + "x" * 131_073 + '"'


@pytest.mark.parametrize("names", [f"name,id\n{CELL},1", f"name,{CELL}\nKim,1"])
def test_a_cell_without_end_in_a_class_file_is_refused(names, tmp_path, capsys):
    file = tmp_path / "names.csv"
    file.write_text(names)

    assert "not a line of CSV" in refused(
        capsys, "class", file, "-o", tmp_path / "class.csv"
    )


@pytest.mark.parametrize("where", ["head", "row"])
def test_a_cell_without_end_in_a_hand_mark_file_is_refused(where, small_class, capsys):
    small_class.out.mkdir()
    cells = [CELL, "why"] if where == "head" else ["why", CELL]
    (small_class.out / "hand-marks.csv").write_text(
        f"code,exercise,mark,{cells[0]}\n{small_class.codes[0]},2.1,50,{cells[1]}\n"
    )
    small_class.hand_in(small_class.codes[0], [("2.1", "right")])

    said = refused(
        capsys, "mark", small_class.file, small_class.folder, "-o", small_class.out
    )

    assert "hand-marks.csv, line" in said
    assert "not a line of CSV" in said


def test_nothing_in_a_title_or_a_key_can_steer_the_terminal(tmp_path, capsys):
    file = tmp_path / "setup.toml"
    titled = SETUP.replace('"Plain"', '"a\\u001b[2Jb\\u009bc\\u202ed"')
    file.write_text(titled, "utf-8")

    assert main(["pull", str(file)]) == 0
    plain = capsys.readouterr().out
    assert main(["pull", str(file), "--json"]) == 0
    fields = capsys.readouterr().out
    file.write_text('form = 1\n["\\u001b]0;x\\u0007"]\na = 1', "utf-8")
    key = refused(capsys, "pull", file)
    with pytest.raises(SystemExit):
        main(["pull", "a", "\x1b[31m"])
    argument = capsys.readouterr().err

    for said in (plain, fields, key, argument):
        assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202e]", said)
    assert "\\u001b" in key
    assert "a\x1b[2Jb\x9bc\u202ed" in json.dumps(
        json.loads(fields), ensure_ascii=False
    ).replace("\\u001b", "\x1b")


def test_odd_codes_are_handouts_of_their_own():
    from workbook.classroom.files import in_name

    codes = ["K/7", "K?7", "K_7", "K 7", "KEY", "Ä7", "a\u03087"]

    assert len({f"L07 {in_name(code)}".casefold() for code in codes}) == len(codes)
    assert "l07 key" not in {f"L07 {in_name(code)}".casefold() for code in codes}


@pytest.mark.parametrize("written", ["picture", "plan"])
def test_on_a_full_disk_the_old_file_stays(written, setup_file, monkeypatch, capsys):
    file = setup_file.parent / ("old.svg" if written == "picture" else "old.toml")
    file.write_text("old")
    command = {
        "picture": ["pull", setup_file, "--picture", file],
        "plan": ["plan", "kestrin", "--write", file],
    }[written]

    def full(_number):
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr("workbook.files.os.fsync", full)
    assert main([*map(str, command)]) == 1

    assert capsys.readouterr().err == f"pullwright: {file}: no space left on device\n"
    assert file.read_text() == "old"
    assert not [*setup_file.parent.glob(".*")]


def test_a_line_that_says_one_thing_twice_is_no_line(small_class):
    code = small_class.codes[0]
    path = small_class.hand_in(code, [("2.1", "right")])
    text = path.read_text("utf-8").replace('"typed":', '"typed": "1 kN", "typed":')
    path.write_text(text, "utf-8")

    small_class.mark()

    assert "has 1 line that cannot be read" in small_class.notes()[0]


def test_a_key_file_that_says_one_thing_twice_is_none(small_class, tmp_path, capsys):
    small_class.hand_in(small_class.codes[0], [("2.1", "right")])
    key = tmp_path / "key.json"
    key.write_text(
        '{"format": 1, "kind": "key", "class_key": "oak", "class_key": "oak", '
        '"students": []}'
    )

    said = refused(capsys, "mark", small_class.file, small_class.folder,
                   "-o", small_class.out, "--key", key)  # fmt: skip

    assert "key.json is not a key file" in said


@pytest.mark.parametrize("score", ["1e999", "NaN", "-Infinity", "1.5"])
def test_a_kept_mark_that_is_none_is_not_ours(score, small_class, capsys):
    small_class.hand_in(small_class.codes[0], [("2.1", "right")])
    order = [small_class.file, small_class.folder, "-o", small_class.out]
    assert main(["mark", *map(str, order)]) == 0
    kept = small_class.out / "marks.jsonl"
    lines = kept.read_text("utf-8").splitlines()
    spoilt = [
        re.sub(r'"score": [0-9.]+', f'"score": {score}', line)
        if '"kind": "mark"' in line
        else line
        for line in lines
    ]
    kept.write_text("\n".join(spoilt) + "\n", "utf-8")
    capsys.readouterr()

    said = refused(capsys, "remark", small_class.file, small_class.out)

    assert "marks.jsonl is not as `pullwright mark` left it" in said


def test_a_kept_answer_to_other_numbers_is_not_ours(small_class, capsys):
    small_class.hand_in(small_class.codes[0], [("2.1", "77 kN")])
    order = [small_class.file, small_class.folder, "-o", small_class.out]
    assert main(["mark", *map(str, order)]) == 0
    kept = small_class.out / "marks.jsonl"
    text = kept.read_text("utf-8").replace('"tension":', '"ten$ion":')
    kept.write_text(text, "utf-8")
    capsys.readouterr()

    said = refused(capsys, "report", small_class.file, small_class.out)

    assert "marks.jsonl is not as `pullwright mark` left it" in said
