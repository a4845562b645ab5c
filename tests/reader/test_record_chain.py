"""The chain of a record: each line says which one it follows."""

import json

import pytest
from writers import raw_lines, start_writer

from workbook.reader.chain import Tip
from workbook.reader.record import Record
from workbook.reader.record_file import add_line
from workbook.reader.record_lines import read_line


def follows(path):
    """Tell of each line whether it goes on the chain; of a start, that it is one."""
    tip, found = Tip(), []
    for raw in path.read_bytes().splitlines():
        line = json.loads(raw)
        found.append("start" if line["kind"] == "start" else tip.fits(line))
        tip = tip.after(line, raw)
    return found


def test_each_line_carries_the_link_of_the_one_before(path):
    one, two = Record(path), Record(path)
    one.sign_in(student="K7", class_key="oak")
    two.append("answer", typed="12 kN\u2028")
    one.append("hint", number=1)
    two.sign_in(student="K8", class_key="oak")

    found = follows(path)
    assert found == ["start", *[True] * (len(found) - 1)]
    assert len(found) >= 5


def test_two_records_have_different_starts(path, tmp_path):
    for file in (path, tmp_path / "other.jsonl"):
        Record(file).append("hint", number=1)

    starts = {json.loads(raw_lines(f)[0])["random"] for f in tmp_path.glob("*.jsonl")}

    assert len(starts) == 2


@pytest.mark.parametrize("kill", [False, True])
def test_two_lessons_at_once_make_one_chain_even_where_they_are_killed(path, kill):
    writers = [start_writer(path, who, 100_000 if kill else 300) for who in "ab"]
    for writer in writers:
        if kill:
            for _ in range(60):
                writer.stdout.readline()
            writer.kill()
        writer.communicate()

    Record(path).append("hint", number=1)

    whole = [x for raw in path.read_bytes().splitlines() if (x := read_line(raw))]
    assert len(whole) > 120
    assert [x["kind"] for x in whole].count("start") == 1
    tip = Tip()
    for raw in path.read_bytes().splitlines():
        line = read_line(raw)
        if line:
            assert line["kind"] == "start" or tip.fits(line), raw
            tip = tip.after(line, raw)


def test_the_chain_goes_on_behind_a_line_that_was_cut_off(path):
    record = Record(path)
    record.append("answer", typed="12 kN")
    whole = path.read_bytes()
    for cut in (1, 40, 100, len(whole.splitlines()[-1])):
        path.write_bytes(whole[:-cut])

        Record(path).append("hint", number=1)

        tip = Tip()
        for raw in path.read_bytes().splitlines():
            line = read_line(raw)
            if line:
                assert line["kind"] == "start" or tip.fits(line)
                tip = tip.after(line, raw)


def test_a_record_of_the_first_versions_gets_a_start_behind_what_it_has(path):
    add_line(path, {"kind": "identity", "student": "K7", "class_key": "oak"})
    before = path.read_bytes()

    Record(path).append("answer", typed="12 kN")

    assert path.read_bytes().startswith(before)
    assert follows(path) == [False, "start", True]
    assert Record(path).reader.student == "K7"
