"""Learner text: one file a language."""

import pytest

from workbook.errors import FormError
from workbook.language import strings
from workbook.quantities.typed import read_quantity


@pytest.fixture
def invented_language(tmp_path, monkeypatch):
    text = '[typed]\nblank = "Eingabefeldleerstandsfeststellung."\n'
    (tmp_path / "strings_xx.toml").write_text(text, encoding="utf-8")
    monkeypatch.setattr(strings, "_HERE", tmp_path)
    monkeypatch.setattr(strings, "_chosen", "en")


@pytest.mark.usefixtures("invented_language")
def test_all_text_comes_from_the_file_of_the_chosen_language():
    strings.set_language("xx")

    sentence = read_quantity("", kind="force").sentence

    assert sentence == "Eingabefeldleerstandsfeststellung."


def test_a_language_without_a_file_is_refused_and_the_old_one_stays():
    with pytest.raises(FormError, match="yy"):
        strings.set_language("yy")

    assert strings.say("kind", "force") == "a force"
