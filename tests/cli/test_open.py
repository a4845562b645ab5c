"""``pullwright open``: whose file is whose, and how the server starts and ends."""

import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path
from urllib.parse import urlsplit
from urllib.request import url2pathname

import pytest
from nbformat import v4, writes

from workbook.cli import main
from workbook.reader.opening import (
    MANIFEST,
    address_if_open,
    copy_lessons,
    open_workbook,
)

LESSON = "02_split.ipynb"
NEWER = "02_split (new).ipynb"


def notebook(*sources, printed="", count=None):
    """Return a notebook as bytes, every cell with the same output and count."""
    outputs = [v4.new_output("stream", text=printed)] if printed else []
    cells = [
        v4.new_code_cell(source, id=f"c{i}", outputs=outputs, execution_count=count)
        for i, source in enumerate(sources)
    ]
    return writes(v4.new_notebook(cells=cells)).encode()


FIRST = notebook("pull(12)", printed="12.0 kN", count=1)
SECOND = notebook("pull(14)", printed="14.0 kN", count=1)
THIRD = notebook("pull(16)", printed="16.0 kN", count=1)
MINE = notebook("pull(99)")


@pytest.fixture
def reader(tmp_path):
    """Give a folder that holds the first version of one lesson."""
    copy_lessons(tmp_path, shipped={LESSON: FIRST})
    return tmp_path


def test_a_first_copy_holds_every_file_as_shipped(tmp_path):
    shipped = {LESSON: FIRST, "README.md": b"# Lessons\n", "data/a.csv": b"1\n"}

    copied = copy_lessons(tmp_path, shipped=shipped)

    assert set(copied.written) == set(shipped)
    assert {name: (tmp_path / name).read_bytes() for name in shipped} == shipped
    assert not list(tmp_path.rglob("*.part"))


def test_a_second_copy_of_the_same_version_writes_nothing(reader):
    copied = copy_lessons(reader, shipped={LESSON: FIRST})

    assert copied.written == ()


def test_an_unchanged_lesson_is_replaced_by_the_newer_one(reader):
    copied = copy_lessons(reader, shipped={LESSON: SECOND})

    assert copied.written == (LESSON,)
    assert (reader / LESSON).read_bytes() == SECOND


def test_a_lesson_that_was_only_run_counts_as_unchanged(reader):
    # Running past the last cell makes JupyterLab add an empty one.
    run = notebook("pull(12)", "", printed="12.5 kN", count=7)
    (reader / LESSON).write_bytes(run)

    copy_lessons(reader, shipped={LESSON: SECOND})

    assert (reader / LESSON).read_bytes() == SECOND


def test_a_corrected_number_reaches_a_lesson_whose_text_is_the_same(reader):
    corrected = notebook("pull(12)", printed="12.4 kN", count=1)

    copy_lessons(reader, shipped={LESSON: corrected})

    assert (reader / LESSON).read_bytes() == corrected


def test_a_changed_lesson_is_kept_and_the_newer_one_put_beside_it(reader):
    (reader / LESSON).write_bytes(MINE)

    copied = copy_lessons(reader, shipped={LESSON: SECOND})
    again = copy_lessons(reader, shipped={LESSON: SECOND})

    assert copied.kept == {LESSON: NEWER}
    assert (reader / LESSON).read_bytes() == MINE
    assert (reader / NEWER).read_bytes() == SECOND
    assert again.written == ()


def test_a_changed_lesson_stays_alone_while_nothing_newer_is_shipped(reader):
    (reader / LESSON).write_bytes(MINE)

    copied = copy_lessons(reader, shipped={LESSON: FIRST})

    assert copied.written == ()
    assert (reader / LESSON).read_bytes() == MINE


def test_work_in_the_newer_file_is_kept_too(reader):
    (reader / LESSON).write_bytes(MINE)
    copy_lessons(reader, shipped={LESSON: SECOND})
    (reader / NEWER).write_bytes(MINE)

    copied = copy_lessons(reader, shipped={LESSON: THIRD})

    assert copied.kept == {LESSON: "02_split (new 2).ipynb"}
    assert (reader / NEWER).read_bytes() == MINE


def test_a_file_of_the_readers_own_is_never_overwritten(tmp_path):
    (tmp_path / "README.md").write_text("my notes")

    copied = copy_lessons(tmp_path, shipped={"README.md": b"# Lessons\n"})

    assert copied.kept == {"README.md": "README (new).md"}
    assert (tmp_path / "README.md").read_text() == "my notes"


@pytest.mark.parametrize("spoilt", [None, "", "{", "[1]"])
def test_without_its_record_the_copy_takes_every_difference_for_work(reader, spoilt):
    (reader / MANIFEST).unlink()
    if spoilt is not None:
        (reader / MANIFEST).write_text(spoilt)

    copied = copy_lessons(reader, shipped={LESSON: SECOND})

    assert copied.kept == {LESSON: NEWER}
    assert (reader / LESSON).read_bytes() == FIRST


def test_a_lesson_thrown_away_comes_back(reader):
    (reader / LESSON).unlink()

    copy_lessons(reader, shipped={LESSON: FIRST})

    assert (reader / LESSON).read_bytes() == FIRST


# What cannot be opened


@pytest.fixture
def refusal(monkeypatch, tmp_path, capsys):
    """Return what the command says when it should refuse."""
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path / "runtime"))

    def run(*options):
        status = main(["open", "--no-browser", *map(str, options)])
        said = capsys.readouterr()
        assert (status, said.out) == (1, "")
        assert said.err.count("\n") == 1
        return said.err

    return run


def test_a_port_in_use_is_refused_with_the_way_out(refusal, tmp_path):
    with socket.create_server(("localhost", 0)) as other:
        port = other.getsockname()[1]

        said = refusal(tmp_path / "reader", "--port", port)

    assert f"port {port} is in use" in said
    assert "leave out --port" in said


def test_a_number_that_is_no_port_is_refused(refusal, tmp_path):
    assert "between 1 and 65535" in refusal(tmp_path / "reader", "--port", 70000)


def test_a_file_in_the_place_of_the_folder_is_refused(refusal, tmp_path):
    (tmp_path / "reader").write_text("a file")

    assert "is a file, not a folder" in refusal(tmp_path / "reader")


def test_a_folder_that_cannot_be_made_is_refused(refusal, tmp_path):
    (tmp_path / "file").write_text("a file")

    said = refusal(tmp_path / "file" / "reader")

    assert "cannot be written (not a directory)" in said
    assert "name another folder" in said


def test_a_folder_without_permission_is_refused(refusal, tmp_path, monkeypatch):
    def deny(*_args, **_options):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("workbook.files.os.open", deny)

    said = refusal(tmp_path / "reader")

    assert "cannot be written (00_start_here.ipynb: permission denied)" in said


@pytest.mark.parametrize(
    "state",
    [b"[1, 2]", b'{"README.md": 7}', b'{"a": {}, "a": {}}', b"[" * 200_000, b"\xff"],
    ids=["list", "number", "twice", "deep", "no text"],
)
def test_a_list_of_what_was_shipped_of_another_shape_is_an_empty_one(state, tmp_path):
    (tmp_path / MANIFEST).write_bytes(state)

    copied = copy_lessons(tmp_path, shipped={"README.md": b"one"})

    assert copied.written == ("README.md",)


@pytest.mark.parametrize(
    "spoilt",
    [b'{"cells": ' + b"[" * 200_000, b'{"cells": [7]}', b"[]", b'{"cells": {"a": 1}}'],
    ids=["deep", "no cell", "a list", "no list"],
)
def test_a_lesson_that_is_no_notebook_any_more_stays(spoilt, tmp_path):
    copy_lessons(tmp_path, shipped={"one.ipynb": notebook("1")})
    (tmp_path / "one.ipynb").write_bytes(spoilt)

    copied = copy_lessons(tmp_path, shipped={"one.ipynb": notebook("2")})

    assert dict(copied.kept) == {"one.ipynb": "one (new).ipynb"}
    assert (tmp_path / "one.ipynb").read_bytes() == spoilt


# A server that runs


@pytest.fixture(scope="module")
def running(start_workbook, tmp_path_factory):
    """Open a folder whose name needs quoting everywhere."""
    return start_workbook(tmp_path_factory.mktemp("reader") / "Übung à la carte")


def fetch(running, path, **options):
    """Ask the server as the reader's browser would."""
    base, _, token = running.address.partition("lab/tree/00_start_here.ipynb?token=")
    request = urllib.request.Request(
        base + path, headers={"Authorization": f"token {token}"}, **options
    )
    with urllib.request.urlopen(request, timeout=60) as answer:
        return answer.read().decode()


def test_the_address_printed_opens_the_first_lesson_and_no_other_does(running):
    with urllib.request.urlopen(running.address, timeout=60) as answer:
        page = answer.read().decode()

    assert "<title>JupyterLab</title>" in page
    with pytest.raises(urllib.error.HTTPError, match="403"):
        urllib.request.urlopen(
            re.sub(r"lab/tree/.*", "api/contents", running.address), timeout=60
        )


def test_the_folder_named_is_the_one_served(running):
    (running.folder / "mine.txt").write_text("mine")

    listed = json.loads(fetch(running, "api/contents"))["content"]

    assert "mine.txt" in {entry["name"] for entry in listed}


def test_no_news_is_asked_for(running):
    path = "lab/api/settings/@jupyterlab/apputils-extension:notification"

    setting = json.loads(fetch(running, path))["schema"]["properties"]

    assert setting["fetchNews"]["default"] == "false"


def test_no_step_of_a_control_fetches_an_icon(running):
    page = fetch(running, "lab")

    found = re.search(r'id="jupyter-config-data"[^>]*>(.*?)</script>', page, re.DOTALL)
    config = json.loads(found[1])

    # It puts another icon on the tab whenever a kernel is busy.
    assert (
        "@jupyterlab/application-extension:faviconbusy" in config["disabledExtensions"]
    )


def test_a_folder_already_open_is_said_to_be_with_its_address(
    running, reader_environment, monkeypatch
):
    told = []
    monkeypatch.setenv("HOME", reader_environment["HOME"])
    monkeypatch.delenv("JUPYTER_RUNTIME_DIR", raising=False)

    open_workbook(running.folder, browser=False, tell=told.append)

    assert told == [f"{running.folder} is already open at {running.address}"]


def test_the_record_of_a_server_that_was_cut_off_is_not_believed(tmp_path, monkeypatch):
    with socket.create_server(("localhost", 0)) as closed_soon:
        port = closed_soon.getsockname()[1]
    record = {
        "pid": os.getpid(),  # the number lives on in another process
        "root_dir": str(tmp_path),
        "hostname": "localhost",
        "port": port,
        "url": f"http://localhost:{port}/",
        "token": "",
    }
    (tmp_path / "jpserver-1.json").write_text(json.dumps(record))
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path))

    assert address_if_open(tmp_path) is None


BROWSER = """#!{python}
import sys
from pathlib import Path
out = Path({out!r})
out.with_suffix(".part").write_text("\\n".join(sys.argv))
out.with_suffix(".part").rename(out)
"""


@pytest.fixture
def own_browser(tmp_path, reader_environment, monkeypatch):
    """Put a script in the browser's place; return where it writes how it was called."""
    command, called = tmp_path / "a browser", tmp_path / "called"
    command.write_text(BROWSER.format(python=sys.executable, out=str(called)))
    command.chmod(0o755)
    monkeypatch.setitem(reader_environment, "BROWSER", f"'{command}' %s")
    return called


def wait_for(path):
    end = time.monotonic() + 60
    while not path.exists():
        assert time.monotonic() < end, f"no {path.name}"
        time.sleep(0.1)


@pytest.mark.skipif(os.name != "posix", reason="the browser is a script")
@pytest.mark.parametrize("again", [False, True], ids=["first", "open already"])
def test_the_token_stands_on_no_command_line(
    start_workbook, reader_environment, own_browser, tmp_path, again
):
    folder = tmp_path / "Übung à la carte"
    workbook = start_workbook(folder, browser=not again)
    if again:
        order = [sys.executable, "-m", "workbook", "open", folder]
        subprocess.run(order, env=reader_environment, check=True, timeout=60)
    wait_for(own_browser)

    _, url = own_browser.read_text().splitlines()
    door = Path(url2pathname(urlsplit(url).path))
    token = workbook.address.partition("?token=")[2]

    assert token
    assert token not in url
    assert (urlsplit(url).scheme, door.parent) == ("file", folder)
    page = door.read_text("utf-8")
    assert token in page
    assert "00_start_here.ipynb" in page
    assert door.stat().st_mode & 0o077 == 0
    workbook.process.send_signal(signal.SIGINT)
    workbook.process.wait(timeout=60)
    assert not door.exists()


@pytest.mark.skipif(os.name != "posix", reason="Windows sends Ctrl-C to a console")
def test_one_ctrl_c_ends_the_server_and_its_kernels_without_a_question(
    start_workbook, tmp_path
):
    workbook = start_workbook(tmp_path / "reader")
    kernel = json.loads(fetch(workbook, "api/kernels", method="POST", data=b"{}"))
    said_before = workbook.printed.read_text()

    workbook.process.send_signal(signal.SIGINT)
    status = workbook.process.wait(timeout=60)

    assert kernel["id"]
    assert status == 0
    assert workbook.printed.read_text() == said_before
    with pytest.raises(urllib.error.URLError):
        urllib.request.urlopen(workbook.address, timeout=5)


# What the page of a lesson is told


def page_of(running):
    """Return the configuration of the page that opens."""
    with urllib.request.urlopen(running.address, timeout=60) as answer:
        page = answer.read().decode()
    found = re.search(r'id="jupyter-config-data"[^>]*>(.*?)</script>', page, re.DOTALL)
    return json.loads(found[1])


def test_the_page_is_told_the_lessons_and_the_extension_that_runs_them(running):
    told = page_of(running)

    assert "00_start_here.ipynb" in told["pullwright"]["lessons"]
    assert told["pullwright"]["says"]["code"] == "Show code"
    (ours,) = [x for x in told["federated_extensions"] if x["name"] == "pullwright"]
    script = fetch(running, f"lab/extensions/pullwright/{ours['load']}")
    assert "_JUPYTERLAB" in script
