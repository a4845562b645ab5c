"""What the server hands to a lesson's page, and to whom else's hook it adds."""

from types import SimpleNamespace

import nbformat
import pytest
from execute import code_cells, notebooks

from workbook.language import set_language
from workbook.reader.lesson_page import (
    KEY,
    _jupyter_server_extension_points,
    _load_jupyter_server_extension,
    code_of,
    page_data,
)


class Line:
    """Stands for a server's line between a page and its kernel."""

    def __init__(self):
        self.done = []
        self.websocket_handler = SimpleNamespace(
            set_nodelay=lambda wanted: self.done.append(f"no delay {wanted}")
        )

    def connect(self):
        """Take note that it was connected."""
        self.done.append("connected")
        return self.done


def loaded(**settings):
    """Return the settings of a server that has taken the extension up."""
    settings.setdefault("kernel_websocket_connection_class", Line)
    server = SimpleNamespace(web_app=SimpleNamespace(settings=settings))
    _load_jupyter_server_extension(server)
    return settings


def test_the_code_of_every_lesson_is_handed_over_cell_by_cell(settings_folder):
    handed = page_data()["lessons"]

    assert notebooks()
    assert handed == {
        path.name: [c.source for c in code_cells(nbformat.read(path, as_version=4))]
        for path in notebooks()
    }


def test_empty_cells_and_words_are_no_code():
    cells = [("markdown", ["# x"]), ("code", ["a\n", "b"]), ("code", [" \n"])]
    parts = ",".join(
        f'{{"cell_type": "{kind}", "source": {source!r}}}'.replace("'", '"')
        for kind, source in cells
    )

    assert code_of(f'{{"cells": [{parts}]}}'.encode()) == ["a\nb"]


def test_the_words_are_those_of_the_readers_language(settings_folder, monkeypatch):
    place = settings_folder / "languages"
    (place / "xx").mkdir(parents=True)
    (place / "xx" / "language.toml").write_text('name = "X"\n', "utf-8")
    (place / "xx" / "lesson_page.toml").write_text('code = "Koodi"\n', "utf-8")
    monkeypatch.setenv("PULLWRIGHT_LANGUAGES", str(place))
    set_language("xx")
    try:
        said = page_data()["says"]
    finally:
        set_language("en")

    assert said == {**page_data()["says"], "code": "Koodi"}


def test_the_page_is_told_beside_what_others_tell_it(settings_folder):
    alone = loaded()["page_config_hook"]
    beside = loaded(page_config_hook=lambda _handler, config: {**config, "b": 2})

    told = beside["page_config_hook"](None, {"a": 1})

    assert told == {"a": 1, "b": 2, KEY: page_data()}
    assert alone(None, {"a": 1}) == {"a": 1, KEY: page_data()}


def test_no_message_of_a_kernel_waits_for_the_page_to_note_the_one_before():
    line = loaded()["kernel_websocket_connection_class"]()

    assert isinstance(line, Line)
    assert line.connect() == ["no delay True", "connected"]


def test_jupyter_finds_the_module_by_its_name():
    (point,) = _jupyter_server_extension_points()

    assert point == {"module": "workbook.reader.lesson_page"}


@pytest.mark.parametrize("path", notebooks(), ids=lambda path: path.stem)
def test_each_lesson_says_in_a_cell_of_its_own_what_to_press(path):
    cells = nbformat.read(path, as_version=4).cells

    (start,) = [c for c in cells if "start" in c.metadata.get("tags", [])]

    assert cells.index(start) == 1
    assert "**Run**, **Run All Cells**" in start.source
