"""A workbook in a language of long words."""

import pytest
from long_words import NAME, write_language

from workbook.language import set_language


@pytest.fixture(scope="session")
def long_language(tmp_path_factory):
    """Write the made-up language once for all tests."""
    place = tmp_path_factory.mktemp("languages")
    write_language(place)
    return place


@pytest.fixture
def long_words(settings_folder, long_language, monkeypatch):
    """Speak the made-up language until the test ends; return the reader's folder."""
    monkeypatch.setenv("PULLWRIGHT_LANGUAGES", str(long_language))
    set_language(NAME)
    yield settings_folder
    set_language("en")
