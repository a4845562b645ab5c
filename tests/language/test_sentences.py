"""Sentences by key: languages, gaps, values and plurals."""

from string import Formatter

import pytest

from workbook.errors import OutOfRangeError
from workbook.language import (
    entries,
    fill,
    language,
    languages,
    say,
    set_language,
    text,
)
from workbook.language.sentences import PLURALS
from workbook.quantities.typed import read_quantity
from workbook.quantities.units import METRIC


@pytest.fixture
def more_languages(tmp_path, monkeypatch):
    """Give a folder for languages, and come back to the first one afterwards."""
    monkeypatch.setenv("PULLWRIGHT_LANGUAGES", str(tmp_path))
    yield tmp_path
    set_language("en")


def made(place, name, *, plurals="en", **files):
    """Make a language of a few files."""
    folder = place / name
    folder.mkdir()
    (folder / "language.toml").write_text(f'name = "{name}"\nplurals = "{plurals}"\n')
    for subject, content in files.items():
        (folder / f"{subject}.toml").write_text(content, encoding="utf-8")
    set_language(name)


def test_all_text_comes_from_the_folder_of_the_chosen_language(more_languages):
    made(more_languages, "xx", typed='blank = "Eingabefeldleerstandsfeststellung."')

    assert language() == "xx"
    assert read_quantity("", kind="force").sentence == (
        "Eingabefeldleerstandsfeststellung."
    )


def test_a_gap_in_a_language_is_filled_by_the_first(more_languages):
    made(more_languages, "xy", typed='blank = "Leer."')

    assert say("kind", "force") == "a force"
    assert read_quantity("x", kind="force").sentence.startswith("This cannot be read")


def test_a_language_without_a_folder_is_refused_and_the_old_one_stays():
    with pytest.raises(LookupError, match=r"“yy”: choose one of .*en"):
        set_language("yy")

    assert language() == "en"


def test_an_unknown_entry_is_an_error_that_names_it():
    with pytest.raises(KeyError, match=r"kind\.nothing"):
        text("kind", "nothing")


def test_an_amount_is_shown_in_the_readers_units():
    shown = fill("{pull:force} over {span:length}", show=METRIC.show, pull=4e3, span=1)

    assert shown == "4.0 kN over 1000 mm"


def test_a_term_and_a_list_stand_inside_a_sentence(more_languages):
    made(more_languages, "xz", term='chain = "Kette"')

    assert fill("{part:term}: {sizes:list}", part="chain", sizes=[7, 8]) == (
        "Kette: 7, 8"
    )


def test_several_terms_and_several_refusals_stand_inside_a_sentence(more_languages):
    made(more_languages, "xw", term='rail = "Holm"\nhook = "Haken"')
    pulls = [OutOfRangeError("rail.pull_at", pull=p, tension=2e3) for p in "ab"]

    said = fill("{n:terms}: {p:list}", show=METRIC.show, n=["rail", "hook"], p=pulls)

    assert said == "Holm, Haken: 'a' at 2.0 kN, 'b' at 2.0 kN"


# The rules of the Unicode CLDR (plural rules of Polish): 1; 2 to 4 but for 12 to 14;
# the rest.
@pytest.mark.parametrize(
    ("count", "word"),
    [(1, "plik"), (3, "pliki"), (5, "plików"), (12, "plików"), (23, "pliki")],
)
def test_a_count_takes_the_plural_of_its_language(more_languages, count, word):
    counted = (
        '[files]\none = "{count} plik"\nfew = "{count} pliki"\n'
        'many = "{count} plików"\nother = "{count} pliku"\n'
    )
    made(more_languages, f"pl{count}", plurals="pl", counted=counted)

    assert say("counted", "files", count=count) == f"{count} {word}"


def test_the_first_language_is_found_with_all_its_entries():
    assert "en" in languages()
    assert entries("en")["kind"]["force"] == "a force"
    assert entries("en")["exercise"]["L02"]["2.1 v1"]["title"]


def odd_entries(own, first, at=""):
    """Return where a language has other entries than the first, or other places."""
    if isinstance(own, dict) and isinstance(first, dict):
        if {"other"} <= set(first) and set(own) <= PLURALS:
            own = {form: own[form] for form in own if form in first}
        found = [f"{at}.{key}: unknown" for key in own if key not in first]
        return found + [
            odd
            for key in own
            if key in first
            for odd in odd_entries(own[key], first[key], f"{at}.{key}")
        ]
    if isinstance(own, list) and isinstance(first, list):
        return [] if len(own) == len(first) else [f"{at}: another number of lines"]
    if isinstance(own, str) and isinstance(first, str):
        return [] if places(own) == places(first) else [f"{at}: other places"]
    return [f"{at}: another kind of entry"]


def places(sentence):
    return sorted(name for _, name, _, _ in Formatter().parse(sentence) if name)


def test_every_language_has_the_entries_and_places_of_the_first():
    for name in languages():
        own = {k: v for k, v in entries(name).items() if k != "language"}

        assert odd_entries(own, entries("en")) == [], name


def test_a_word_too_many_and_a_place_too_few_are_found():
    own = {"kind": {"force": "eine Kraft", "mut": "?"}, "typed": {"blank": "{leer}"}}

    assert odd_entries(own, entries("en")) == [
        ".kind.mut: unknown",
        ".typed.blank: other places",
    ]
