"""A file is there whole or as it was before, whatever happens while it is written."""

import errno
import os
import stat

import pytest

from workbook.files import read_at_most, read_json, write_whole

AS_ROOT = hasattr(os, "geteuid") and os.geteuid() == 0


def full_after(monkeypatch, written):
    """Have the disk take ``written`` bytes of each write and then be full."""

    class Full:
        def __init__(self, file):
            self.file = file

        def __enter__(self):
            return self

        def __exit__(self, *_):
            self.file.close()

        def write(self, data):
            self.file.write(data[:written])
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    real = os.fdopen
    monkeypatch.setattr(
        "workbook.files.os.fdopen", lambda number, mode: Full(real(number, mode))
    )


@pytest.mark.parametrize("written", [0, 3])
def test_on_a_full_disk_the_old_file_stays_and_nothing_else(
    written, tmp_path, monkeypatch
):
    file = tmp_path / "picture.png"
    file.write_bytes(b"old picture")
    full_after(monkeypatch, written)

    with pytest.raises(OSError, match=r"No space left on device.*picture\.png"):
        write_whole(file, b"new picture")

    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == {
        "picture.png": b"old picture"
    }


def test_a_disk_that_is_full_only_when_asked_to_sync_is_full(tmp_path, monkeypatch):
    def full(_number):
        raise OSError(errno.EDQUOT, os.strerror(errno.EDQUOT))

    monkeypatch.setattr("workbook.files.os.fsync", full)

    with pytest.raises(OSError, match=r"hand-in\.txt"):
        write_whole(tmp_path / "hand-in.txt", b"mine", new=True)

    assert not [*tmp_path.iterdir()]


def test_a_file_system_that_cannot_sync_takes_the_file(tmp_path, monkeypatch):
    def cannot(_number):
        raise OSError(errno.EINVAL, os.strerror(errno.EINVAL))

    monkeypatch.setattr("workbook.files.os.fsync", cannot)

    write_whole(tmp_path / "list.csv", b"names")

    assert (tmp_path / "list.csv").read_bytes() == b"names"


@pytest.mark.parametrize("moment", ["write", "fsync", "replace"])
def test_an_interruption_leaves_the_old_file_and_nothing_else(
    moment, tmp_path, monkeypatch
):
    file = tmp_path / "marks.jsonl"
    file.write_bytes(b"old")

    def stop(*_args):
        raise KeyboardInterrupt

    if moment == "write":
        monkeypatch.setattr("workbook.files.os.fdopen", stop)
    elif moment == "fsync":
        monkeypatch.setattr("workbook.files.os.fsync", stop)
    else:
        monkeypatch.setattr("pathlib.Path.replace", stop)

    with pytest.raises(KeyboardInterrupt):
        write_whole(file, b"new")

    assert [p.read_bytes() for p in tmp_path.iterdir()] == [b"old"]


def test_who_may_read_a_file_stays_as_it_was(tmp_path):
    file = tmp_path / "class.csv"
    file.write_bytes(b"old")
    file.chmod(0o640)

    write_whole(file, b"new")

    assert stat.S_IMODE(file.stat().st_mode) == 0o640
    assert file.read_bytes() == b"new"


def test_a_new_file_is_as_open_as_any_other(tmp_path):
    (tmp_path / "plain").write_bytes(b"")

    write_whole(tmp_path / "whole", b"")

    modes = [(tmp_path / name).stat().st_mode for name in ("plain", "whole")]
    assert modes[0] == modes[1]


def test_a_link_leads_to_the_file_that_is_written(tmp_path):
    (tmp_path / "far").mkdir()
    (tmp_path / "far/file").write_bytes(b"old")
    (tmp_path / "link").symlink_to(tmp_path / "far/file")

    write_whole(tmp_path / "link", b"new")

    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "far/file").read_bytes() == b"new"


def test_what_is_no_plain_file_takes_the_bytes_itself(tmp_path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)

    write_whole(pipe, b"bytes")

    assert os.read(reader, 100) == b"bytes"
    assert stat.S_ISFIFO(pipe.stat().st_mode)
    os.close(reader)


def test_a_file_that_must_be_new_never_replaces_one(tmp_path):
    file = tmp_path / "hand-in.txt"
    write_whole(file, b"first", new=True)

    with pytest.raises(FileExistsError, match=r"hand-in\.txt"):
        write_whole(file, b"second", new=True)

    assert [p.read_bytes() for p in tmp_path.iterdir()] == [b"first"]


def test_one_that_came_meanwhile_is_not_replaced_either(tmp_path, monkeypatch):
    file = tmp_path / "hand-in.txt"
    sync = os.fsync

    def late(number):
        file.write_bytes(b"another's")
        sync(number)

    monkeypatch.setattr("workbook.files.os.fsync", late)

    with pytest.raises(FileExistsError):
        write_whole(file, b"mine", new=True)

    assert [p.read_bytes() for p in tmp_path.iterdir()] == [b"another's"]


def test_a_stick_that_knows_no_links_takes_a_new_file(tmp_path, monkeypatch):
    def no_links(*_args):
        raise PermissionError(errno.EPERM, os.strerror(errno.EPERM))

    monkeypatch.setattr("pathlib.Path.hardlink_to", no_links)

    write_whole(tmp_path / "hand-in.txt", b"mine", new=True)

    assert [p.read_bytes() for p in tmp_path.iterdir()] == [b"mine"]


@pytest.mark.skipif(AS_ROOT, reason="root may write everything")
def test_a_file_that_is_write_protected_is_not_replaced(tmp_path):
    file = tmp_path / "class.csv"
    file.write_bytes(b"old")
    file.chmod(0o444)

    with pytest.raises(PermissionError, match=r"class\.csv"):
        write_whole(file, b"new")

    assert file.read_bytes() == b"old"


def test_what_may_not_be_written_is_not_replaced(tmp_path, monkeypatch):
    file = tmp_path / "class.csv"
    file.write_bytes(b"old")
    monkeypatch.setattr("workbook.files.os.access", lambda *_: False)

    with pytest.raises(PermissionError, match=r"class\.csv"):
        write_whole(file, b"new")

    assert file.read_bytes() == b"old"


def test_a_folder_that_is_not_there_is_named_by_its_file(tmp_path):
    with pytest.raises(FileNotFoundError, match=r"away/file") as refused:
        write_whole(tmp_path / "away/file", b"")

    assert ".part" not in str(refused.value)


def test_no_more_is_read_than_asked_for_and_one(tmp_path):
    (tmp_path / "large").write_bytes(b"x" * 100)

    assert len(read_at_most(tmp_path / "large", 10)) == 11
    assert len(read_at_most(tmp_path / "large", 100)) == 100


@pytest.mark.parametrize(
    "text",
    ['{"a": 1, "a": 2}', '[{"b": {"a": 1, "a": 1}}]', "[" * 200_000, "{", "1" * 5000],
    ids=["twice", "twice inside", "deep", "no JSON", "endless number"],
)
def test_what_is_no_json_or_says_one_thing_twice_is_one_kind_of_error(text):
    with pytest.raises(ValueError, match=r"."):
        read_json(text)
