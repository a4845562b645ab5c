"""A real hub with its proxy: who comes in, who reads what, what a crash costs."""

import json
import os
import signal

ANSWER = """
from workbook.exercises import exercise
from workbook.reader.record import record_here
from workbook.reader.task import Task
task = Task(record_here(), exercise("{exercise}"), set="exit")
task.answer("{typed}")
print(task.record.trouble or task.record.reader.student)
"""
READ = """
import os
for path in {paths}:
    try:
        print(os.listdir(path) if os.path.isdir(path) else open(path).read())
    except OSError as error:
        print(type(error).__name__)
"""
SEE = """
import os
from pathlib import Path
for task in Path("/proc").glob("[0-9]*/environ"):
    try:
        if b"PULLWRIGHT_CLASS_KEY" in task.read_bytes():
            print(os.stat(task).st_uid)
    except OSError:
        pass
"""


def test_who_has_no_place_is_not_told_which_half_was_wrong(class_server):
    answers = []
    for halves in ({"code": "X" * 4}, {"key": "X" * 6}):
        stranger = class_server.student(2)
        vars(stranger).update(halves)
        answer = stranger.sign_in()
        told = answer.text.replace(stranger.code, "").split("<main", 1)[1]
        answers.append((answer.status_code, told.split("_xsrf")[0]))

    assert answers[0] == answers[1]
    assert answers[0][0] == 403
    assert "do not go together" in answers[0][1]


def test_what_was_answered_outlives_the_hub_and_is_its_owners(class_server):
    zoe, ada = class_server.student(0), class_server.student(1)
    opened = [one.sit_down() for one in (zoe, ada)]
    for one in (zoe, ada):
        one.start_kernel()

    assert all("/lab/tree/08_" in address for address in opened)
    assert zoe.run(ANSWER.format(exercise="8.1", typed="12 kN")) == zoe.code
    assert ada.run(ANSWER.format(exercise="8.1", typed="3 kN")) == ada.code

    record = class_server.folder(0) / "pullwright-record.jsonl"
    hub = class_server.work / "hub"
    others = [
        record, record.parent, record.parent.parent,
        class_server.file, class_server.place,
        hub, hub / "cookie_secret", hub / "hub.sqlite",
    ]  # fmt: skip
    seen = ada.run(READ.format(paths=[str(path) for path in others]))
    assert all(path.exists() for path in others)
    assert seen.split() == ["PermissionError"] * len(others)
    own = class_server.folder(1)
    assert zoe.code in zoe.run(READ.format(paths=[str(record)]))
    assert {*ada.run(SEE).split()} == {str(own.stat().st_uid)}
    assert "MemoryError" in ada.run("len(bytearray(1 << 30))")
    elsewhere = ada.session.get(f"{ada.address}{zoe.place}/api/contents", timeout=30)
    assert elsewhere.status_code == 403

    (keeper,) = class_server.keepers()
    os.kill(class_server.hub(), signal.SIGKILL)
    assert zoe.run(ANSWER.format(exercise="8.2", typed="5 kN")) == zoe.code
    class_server.wait("Ready for", times=2)
    assert "started again" in class_server.said()
    again = class_server.student(0)
    again.sit_down()
    assert [one["id"] for one in again.ask("GET", "kernels").json()] == [zoe.kernel]
    assert zoe.run(ANSWER.format(exercise="8.3", typed="7 kN")) == zoe.code
    assert keeper not in class_server.keepers()

    out = class_server.place / "hand-ins"
    told = class_server.call("collect", class_server.file, "--work", class_server.work)
    assert "1 has answered nothing yet: O'Neill, Kim" in told
    assert {path.name for path in out.rglob("*.txt")} == {
        f"hand-in {zoe.code}.txt", f"hand-in {ada.code}.txt",
    }  # fmt: skip
    marks = class_server.place / "marks"
    marked = class_server.call("mark", class_server.file, out, "-o", marks)
    assert "4 answers marked" in marked
    assert "2 late" in marked

    class_server.end()
    assert class_server.process.returncode == 0
    assert "All places are closed" in class_server.said()
    assert class_server.running() == class_server.keepers() == []
    typed = [json.loads(line) for line in record.read_text("utf-8").splitlines()]
    answers = [one["typed"] for one in typed if one["kind"] == "answer"]
    assert answers == ["12 kN", "5 kN", "7 kN"]
