"""A short run of odd inputs; ``run.py`` beside does a long one by hand."""

import random

from fuzzing import fuzz
from mutations import json_text

KINDS = 17


def test_no_odd_input_raises_or_leaves_half_a_file(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))
    monkeypatch.setattr("os.fsync", lambda _: None)

    found = fuzz(tmp_path, inputs=400, seed=8)

    assert len(found.by_kind) == KINDS
    assert 100 < found.refused < found.inputs
    assert found.faults == []
    assert found.half_written == 0
    assert found.slowest[0] < 5


def test_a_fault_would_be_found(tmp_path, monkeypatch):
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(tmp_path / "settings"))

    def half(path, data, **_):
        path.with_name(".half.part").write_bytes(data[:9])
        raise ZeroDivisionError

    monkeypatch.setattr("workbook.cli.bench.write_whole", half)

    found = fuzz(tmp_path, inputs=20, seed=8, kinds=["plan"])

    assert "ZeroDivisionError" in found.faults[0][1]
    assert found.half_written == 1


def test_json_is_spoilt_inside():
    good = b'{"a": [1, {"b": 2}], "c": "d"}'

    spoilt = {json_text(random.Random(seed), good, b"") for seed in range(200)}

    assert len(spoilt) > 50
    assert good not in spoilt
