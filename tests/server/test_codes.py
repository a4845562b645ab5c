"""Who is let in: a code and the class key, and no end of tries for nobody."""

from pathlib import Path
from types import SimpleNamespace

import pytest
from apart import finished
from tornado.httputil import HTTPHeaders
from tornado.web import HTTPError

from workbook.classroom.roll import Student, made_class, read_class, write_class
from workbook.classroom.server.codes import (
    MOST_FROM_ONE,
    MOST_IN_ALL,
    CodeAuthenticator,
)


@pytest.fixture
def door(tmp_path):
    """Open the door to a class of one."""
    write_class(tmp_path / "class.csv", made_class([Student(name="Zoë")], key="oak"))
    return CodeAuthenticator(class_file=str(tmp_path / "class.csv"))


def came(door, code, key="oak", *, through="10.0.0.7", made_up=""):
    """Return the name of who is let in, or the status of a refusal."""
    headers = HTTPHeaders({"X-Real-Ip": made_up} if made_up else {})
    headers.add("X-Forwarded-For", f"{made_up}, {through}" if made_up else through)
    request = SimpleNamespace(headers=headers, remote_ip=made_up or "127.0.0.1")
    said = {"username": code, "password": key}
    try:
        return finished(door.authenticate(SimpleNamespace(request=request), said))
    except HTTPError as refusal:
        return refusal.status_code


def test_a_computer_cannot_try_for_ever_by_making_addresses_up(door):
    (zoe,) = read_class(Path(door.class_file)).students
    tried = [
        came(door, "XXXX", made_up=f"10.1.1.{number}")
        for number in range(MOST_FROM_ONE)
    ]

    assert {*tried} == {403}
    assert came(door, zoe.code, made_up="10.1.1.99") == 429
    assert came(door, zoe.code, through="10.0.0.8") == zoe.code.lower()


def test_a_class_cannot_be_tried_from_everywhere(door):
    (zoe,) = read_class(Path(door.class_file)).students
    for number in range(MOST_IN_ALL):
        came(door, "XXXX", through=f"10.2.0.{number}")

    assert came(door, zoe.code, through="10.0.0.8") == 429


def test_who_is_added_to_the_list_is_let_in_and_who_is_taken_out_is_not(door):
    earlier = read_class(Path(door.class_file))
    both = made_class([Student(name="Zoë"), Student(name="Lee")], earlier=earlier)
    file = type(both)(key=both.key, students=both.students[1:])
    before = came(door, earlier.students[0].code)
    write_class(Path(door.class_file), file)

    assert before == earlier.students[0].code.lower()
    assert came(door, both.students[1].code) == both.students[1].code.lower()
    assert came(door, earlier.students[0].code) == 403
    with pytest.raises(HTTPError, match="no longer on the class list"):
        door.student(earlier.students[0].code.lower())


def test_a_list_that_is_being_written_lets_in_as_before(door):
    (zoe,) = read_class(Path(door.class_file)).students
    assert came(door, zoe.code) == zoe.code.lower()
    Path(door.class_file).write_text("half a li")

    assert came(door, zoe.code) == zoe.code.lower()
