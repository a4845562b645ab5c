"""What is looked at before a class server starts: one sentence, with the way out."""

import os
import shutil
import socket
import sys
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from workbook.classroom.roll import Student, made_class, write_class
from workbook.classroom.server import start
from workbook.classroom.server.collect import collect
from workbook.classroom.server.seats import FIRST_USER, make_seat, make_work, seats_of
from workbook.cli import main

as_root = pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root becomes others"
)


@pytest.fixture
def listed(tmp_path, monkeypatch):
    """Write a class list into a closed folder, on a machine that lacks nothing."""
    monkeypatch.setattr(start, "_engine", lambda: "/bin/true")
    monkeypatch.setattr(start, "_runs", lambda user: True)
    monkeypatch.setattr(
        start, "_run", lambda on, _, tell: tell(f"{on.first[:2]} {on.hub_port}")
    )
    place = tmp_path / "mine"
    place.mkdir(mode=0o700)
    file = place / "class.csv"
    write_class(file, made_class([Student(name="Zoë"), Student(name="Ada")], key="oak"))
    return file


@pytest.fixture
def work(tmp_path):
    """Name a folder of work that students can enter."""
    folder = Path("/tmp") / f"pw-seats-{os.getpid()}"
    yield folder
    shutil.rmtree(folder, ignore_errors=True)


def free_port():
    with socket.create_server(("127.0.0.1", 0)) as free:
        return free.getsockname()[1]


def refused(capsys, file, *options):
    """Return the sentence that the command ends with."""
    options = ("--address", "127.0.0.1", *map(str, options))
    assert main(["serve", str(file), *options]) == 1
    (said,) = capsys.readouterr().err.splitlines()
    return said


def test_what_the_machine_lacks_is_said(listed, monkeypatch, capsys):
    monkeypatch.undo()
    monkeypatch.setattr(start, "find_spec", lambda name: None)
    assert "pip install '.[hub]'" in refused(capsys, listed)

    monkeypatch.setattr(start, "find_spec", lambda name: name)
    monkeypatch.setattr(start.shutil, "which", lambda *_, **__: None)
    assert "npm install -g configurable-http-proxy" in refused(capsys, listed)

    monkeypatch.setattr(start.shutil, "which", lambda *_, **__: "/bin/true")
    monkeypatch.setattr(start.os, "geteuid", lambda: 1000)
    assert "sudo" in refused(capsys, listed)

    monkeypatch.setattr(sys, "platform", "win32")
    assert "needs Linux" in refused(capsys, listed)


@as_root
def test_what_cannot_serve_is_said(listed, work, tmp_path, capsys):
    options = ("--work", work, "--port", free_port())
    assert "no such file" in refused(capsys, listed.with_name("none.csv"), *options)
    assert "no lesson 'L99'" in refused(capsys, listed, *options, "--lesson", "L99")
    assert "cannot be written" in refused(
        capsys, listed, "--work", listed / "below a file"
    )
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        said = refused(capsys, listed, "--work", work, "--port", port)
        assert f"Port {port} is in use" in said
    assert "between 1 and 65535" in refused(capsys, listed, "--work", work, "--port", 0)
    closed = refused(capsys, listed, "--work", listed.parent / "work", *options[2:])
    assert "Students cannot enter" in closed

    rows = listed.read_text("utf-8-sig").splitlines()
    code = rows[1].split(",")[5]
    listed.write_text("\n".join([*rows, rows[1].replace("Zoë", "Zed")]), "utf-8")
    assert f"{code.casefold()} stands there twice" in refused(capsys, listed, *options)


@as_root
def test_a_list_that_students_could_read_is_not_served(listed, work, capsys):
    open_place = Path(f"{work}-open")
    shutil.copytree(listed.parent, open_place)
    open_place.chmod(0o755)
    try:
        options = ("--work", work, "--port", free_port())
        said = refused(capsys, open_place / "class.csv", *options)
    finally:
        shutil.rmtree(open_place)

    assert "Students could read the codes" in said


@as_root
def test_a_list_is_served_once_at_a_time(listed, work, capsys):
    make_work(work)
    with start._alone(work):
        assert "runs already" in refused(capsys, listed, "--work", work)


@as_root
def test_another_class_does_not_get_its_work(listed, work, capsys):
    options = ("--address", "127.0.0.1", "--work", str(work), "--port", free_port())
    assert main(["serve", str(listed), *map(str, options)]) == 0
    listed.unlink()
    write_class(listed, made_class([Student(name="Zoë")], key="ash"))

    assert "of another class" in refused(capsys, listed, *options)


@as_root
def test_the_lesson_that_opens_is_the_one_due_next(listed, work):
    now = datetime.now()
    due = {"L02": -1, "L07": 2, "L08": 1}
    lines = [
        f"[lessons.{id}]\ndue = {now + timedelta(days=days):%Y-%m-%dT%H:%M:%S}\n"
        for id, days in due.items()
    ]
    listed.with_name("session.toml").write_text("form = 1\n" + "".join(lines), "utf-8")
    told = []
    for lesson in ("", "L02"):
        start.serve(
            listed, work=work, lesson=lesson, port=free_port(), tell=told.append,
            address="127.0.0.1",
        )  # fmt: skip

    (first, port), (second, same) = (said.split() for said in told)
    assert (first, second) == ("08", "02")
    assert port == same


@as_root
def test_a_seat_stays_its_students_and_takes_the_plan(listed, work):
    made = start.read_class(listed)
    plan = listed.with_name("session.toml")
    plan.write_text("form = 1\n", "utf-8")
    make_work(work)
    seats = seats_of(made, work)
    first = min(seats.values(), key=lambda seat: seat.user)
    first.folder.mkdir(mode=0o700)
    os.chown(first.folder, FIRST_USER, FIRST_USER)  # as it was made long ago
    again = seats_of(made, work)[first.name]
    make_seat(again, plan)

    assert len({seat.user for seat in seats.values()}) == len(seats)
    assert again.user == FIRST_USER
    assert again.folder.stat().st_mode & 0o777 == 0o700
    laid = again.folder / "session.toml"
    assert laid.read_text("utf-8") == "form = 1\n"

    plan.unlink()
    make_seat(again, plan)
    assert not laid.exists()


@as_root
def test_of_a_pair_both_are_collected_and_nobody_else(listed, work, tmp_path):
    from workbook.classroom.server.seats import as_user
    from workbook.reader.record import FILE, Record

    people = [Student(name=name) for name in ("Zoë", "Ada", "Kim")]
    made = made_class(people, earlier=start.read_class(listed))
    write_class(listed, made)
    make_work(work)
    zoe, ada, kim = seats_of(made, work).values()
    for seat in (zoe, ada, kim):
        make_seat(seat, listed.with_name("session.toml"))

    def play():
        record = Record(zoe.folder / FILE)
        for who in (zoe, ada):
            other = ada if who is zoe else zoe
            record.sign_in(
                student=who.student.code, class_key="oak", pair=other.student.code
            )
            record.append("hint", exercise="8.1")
        record.sign_in(student=kim.student.code, class_key="oak")
        record.append("hint", exercise="8.1")

    as_user(zoe.user, play)
    (ada.folder / FILE).symlink_to(listed)  # a student's trick
    found = collect(listed, work, tmp_path / "hand-ins")

    names = {path.name for path in found.files}
    assert names == {f"hand-in {one.student.code}.txt" for one in (zoe, ada)}
    assert all(path.parent.name == zoe.name for path in found.files)
    assert [who.split(" (")[0] for who in found.idle] == ["Ada", "Kim"]


def test_without_a_server_there_is_nothing_to_collect(listed, tmp_path, capsys):
    assert main(["collect", str(listed), "--work", str(tmp_path / "none")]) == 1
    assert "No class server kept work" in capsys.readouterr().err


def test_a_student_is_signed_in_anew_each_time(tmp_path):
    from workbook.reader.record import FILE, Record
    from workbook.reader.seat import KEY, STUDENT, prepare

    prepare(tmp_path, {STUDENT: "K7MR", KEY: "oak"})
    Record(tmp_path / FILE).practise()
    prepare(tmp_path, {STUDENT: "K7MR", KEY: "oak"})

    assert Record(tmp_path / FILE).reader.student == "K7MR"
    assert (tmp_path / "00_start_here.ipynb").is_file()
