"""A workbook in a language of long words."""

import pytest
from long_words import NAME, write_language

from workbook.language import set_language


@pytest.fixture
def long_words(settings_folder, monkeypatch):
    """Speak the made-up language until the test ends; return the reader's folder."""
    place = settings_folder / "languages"
    write_language(place)
    monkeypatch.setenv("PULLWRIGHT_LANGUAGES", str(place))
    set_language(NAME)
    yield settings_folder
    set_language("en")
