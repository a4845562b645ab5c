"""The reader's choices: kept together, and no choice where nothing can be read."""

import json

import pytest

from widgets import lesson
from workbook.cli import main
from workbook.language import language, set_language
from workbook.quantities.units import INCH, METRIC
from workbook.reader.settings import (
    remember_language,
    remember_units,
    settings_file,
    unit_system,
    use_language,
)


@pytest.fixture(autouse=True)
def tongue(settings_folder, tmp_path, monkeypatch):
    """Add a language, and come back to the first one afterwards."""
    folder = tmp_path / "languages" / "xx"
    folder.mkdir(parents=True)
    (folder / "language.toml").write_text('name = "Long"\nplurals = "en"\n')
    monkeypatch.setenv("PULLWRIGHT_LANGUAGES", str(folder.parent))
    monkeypatch.delenv("PULLWRIGHT_LANGUAGE", raising=False)
    yield
    set_language("en")


def chosen(content):
    settings_file().write_text(content, "utf-8")
    use_language()
    return language(), unit_system()


def test_without_a_choice_it_is_metric_and_english():
    use_language()

    assert (language(), unit_system()) == ("en", METRIC)


def test_units_and_language_are_kept_side_by_side():
    remember_units(INCH)
    remember_language("xx")
    remember_units(INCH)
    set_language("en")

    use_language()

    assert (language(), unit_system()) == ("xx", INCH)
    assert json.loads(settings_file().read_text()) == {
        "units": "lbf-inch",
        "language": "xx",
    }


def test_a_language_that_is_not_there_is_not_kept():
    with pytest.raises(LookupError, match="yy"):
        remember_language("yy")

    assert not settings_file().exists()


def test_a_choice_that_is_not_there_any_more_is_no_choice():
    assert chosen('{"units": "cubits", "language": "yy"}') == ("en", METRIC)


@pytest.mark.parametrize(
    "content",
    ["", "{", "[]", '"xx"', '{"language": ["xx"], "units": 7}', "[" * 100_000],
)
def test_a_file_that_is_no_settings_is_no_choice(content):
    assert chosen(content) == ("en", METRIC)


def test_a_file_of_the_first_versions_is_read():
    assert chosen('{"units": "lbf-inch"}\n') == ("en", INCH)


def test_the_language_of_the_environment_comes_first(monkeypatch):
    remember_language("xx")
    set_language("en")
    monkeypatch.setenv("PULLWRIGHT_LANGUAGE", "en")

    use_language()

    assert language() == "en"


def test_a_lesson_goes_on_in_the_readers_language():
    remember_language("xx")
    set_language("en")

    lesson("00")

    assert language() == "xx"


def test_a_command_speaks_the_readers_language(capsys):
    remember_language("xx")
    set_language("en")

    main(["hand-in"])

    assert language() == "xx"


def test_a_folder_that_cannot_be_written_keeps_nothing_and_says_nothing(monkeypatch):
    file = settings_file().parent / "file"
    file.write_text("")
    monkeypatch.setenv("PULLWRIGHT_SETTINGS", str(file))

    remember_units(INCH)

    assert unit_system() == METRIC
