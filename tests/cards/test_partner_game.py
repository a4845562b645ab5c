"""The partner game: a mix behind a curtain, named from its readings, scored by pair."""

import json
from itertools import count

import pytest

from widgets.partner import PartnerGame
from workbook.course.partner import Score, drawn_round, mixed_round
from workbook.errors import FormError
from workbook.exercises.bank.lesson_05 import kinds_of
from workbook.language import say, text
from workbook.mechanics.survey.damage import KINDS
from workbook.reader.record import record_here


def fields(game, form="form"):
    return [one["name"] for one in game.frame[form]["fields"]]


def press(game, act, *typed, form="form"):
    """Fill the boxes of a form in their order, and press its button."""
    named = {}
    if typed:
        empty = [""] * len(fields(game, form))
        values = [*typed, *empty][: len(empty)]
        named = dict(zip(fields(game, form), values, strict=True))
    game._handle_custom_msg({"act": act, "seconds": None, "typed": named}, [])
    return game.frame


def mix(**sizes):
    """Return what is typed in the five boxes."""
    return [sizes.get(kind, "") for kind in KINDS]


def right_letters(game):
    return game.variant.exercise.answer.typed(game.variant.answer)


@pytest.fixture
def pair():
    game = PartnerGame()
    press(game, "start", "Ana", "Ben")
    return game


@pytest.fixture
def curtain(pair):
    press(pair, "hide", *mix(mash="12", twist="-10 mm"))
    return pair


def test_the_second_player_names_first_and_then_they_swap(pair):
    assert (pair.mixer, pair.namer) == ("Ana", "Ben")
    assert "Ben, look away. Ana: " in pair.frame["intro"][0]

    press(pair, "draw", "kiwi", form="ask")
    press(pair, "name", right_letters(pair))
    press(pair, "next")

    assert (pair.mixer, pair.namer) == ("Ben", "Ana")
    assert pair.frame["title"] == "Round 2: Ana names the kinds"


def test_behind_the_curtain_nothing_tells_the_mix(curtain):
    shown = json.dumps(curtain.frame, ensure_ascii=False)

    assert kinds_of(curtain.variant.given) == ("mash", "twist")
    assert set(fields(curtain)) == {"0/kinds"}
    assert "12" not in shown.replace("−12", "").split('"sketch"')[0]
    assert say("partner", "told", "mix", kinds=["mash", "twist"]) not in shown


def test_readings_are_those_of_the_mix_within_a_millimetre(curtain):
    # Mash of 12 at the front; twist of −10 over the width: left 5 low, right 5 high.
    numbers = curtain.variant.numbers
    expected = {"lf": (-12, 0, -5), "rf": (-12, 0, 5), "lr": (0, 0, 0), "rr": (0, 0, 0)}

    for corner, moved in expected.items():
        for way, size in zip(("ahead", "left", "up"), moved, strict=True):
            assert abs(numbers[f"{corner}_{way}"] - size) <= 1
    assert "left front −1" in " ".join(curtain.frame["intro"])


def test_naming_all_and_no_others_is_right_and_counts_for_pair_and_namer(curtain):
    frame = press(curtain, "name", right_letters(curtain))

    assert frame["result"]["sign"] == "✓"
    assert frame["sketch"].startswith("<svg")
    assert [tool["act"] for tool in frame["tools"]] == ["next", "again"]
    assert frame["result"]["lines"][-2:] == [
        "The mix was: mash, twist.",
        "Named right: 1 of 1. Ben 1 of 1.",
    ]
    assert frame["foot"] == []  # not twice
    assert press(curtain, "next")["foot"] == ["Named right: 1 of 1. Ben 1 of 1."]


def test_a_known_mistake_is_told_by_its_name(curtain):
    lettered = curtain.variant.exercise.answer.lettered(curtain.variant.given)
    letters = [letter for letter, kind in lettered.items() if kind in {"mash", "sag"}]

    frame = press(curtain, "name", ", ".join(letters))

    assert frame["result"]["sign"] == "✗"
    assert text("mistake", "twist_as_sag", "did") in frame["result"]["lines"]
    assert curtain.score.rounds == (("Ben", False),)


def test_what_cannot_be_read_counts_no_round(curtain):
    frame = press(curtain, "name", "z 9")

    assert frame["result"]["sign"] == "?"
    assert "z 9" in frame["result"]["lines"][0]
    assert curtain.state == "name"
    assert curtain.score.rounds == ()


@pytest.mark.parametrize(
    ("sizes", "why"),
    [
        ({}, "one or two kinds"),
        ({"mash": "9", "sag": "9", "twist": "9"}, "one or two kinds"),
        ({"sag": "3"}, "sag must be from 8.0 mm to 20.0 mm"),
        ({"sag": "21"}, "sag must be from 8.0 mm to 20.0 mm"),
        ({"diamond": "12 kN"}, "diamond: "),
        ({"diamond": "a lot"}, "diamond: "),
    ],
)
def test_a_mix_that_would_not_show_is_refused_with_the_reason(pair, sizes, why):
    frame = press(pair, "hide", *mix(**sizes))

    assert why in frame["note"]
    assert pair.state == "mix"
    assert fields(pair) == [f"0/{kind}" for kind in KINDS]  # what was typed stays


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("other", [None, *KINDS])
def test_every_mix_of_one_or_two_kinds_can_be_played(kind, other):
    for size, number in zip((0.008, -0.014, 0.020), count(1), strict=False):
        sizes = {kind: size, **({other: -size} if other else {})}

        variant = mixed_round(sizes, number)

        assert {*kinds_of(variant.given)} == {*sizes}


def test_the_same_mix_is_read_otherwise_in_another_round():
    first, again, second = (mixed_round({"sag": 0.012}, n) for n in (1, 1, 2))

    assert first.numbers == again.numbers != second.numbers


def test_who_plays_alone_names_mixes_of_a_seed_round_after_round():
    game = PartnerGame()
    press(game, "start", "Ana", "")
    assert game.alone
    assert game.frame.get("form") is None

    press(game, "draw", "kiwi", form="ask")
    first = game.variant
    press(game, "name", right_letters(game))
    press(game, "next")

    assert game.state == "name"
    assert game.namer == "Ana"
    assert game.variant.numbers != first.numbers
    assert first.numbers == drawn_round("kiwi", 1).numbers
    assert first.numbers != drawn_round("lime", 1).numbers


def test_a_seed_must_be_typed(pair):
    assert "seed" in press(pair, "draw", "  ", form="ask")["note"]
    assert pair.state == "mix"


def test_starting_again_asks_for_names_and_forgets_the_score(curtain):
    press(curtain, "name", right_letters(curtain))

    frame = press(curtain, "again")

    assert fields(curtain) == ["one", "two"]
    assert frame.get("foot") is None
    assert curtain.score == Score()


def test_two_of_one_name_are_told_apart():
    game = PartnerGame()
    press(game, "start", "Kim", "Kim")

    assert game.players == ("Kim", "Player 2")


def test_each_round_has_empty_boxes_of_its_own(curtain):
    before = fields(curtain)
    press(curtain, "name", right_letters(curtain))
    press(curtain, "next")

    assert not {*fields(curtain)} & {*before, *(f"0/{kind}" for kind in KINDS)}


def test_the_record_has_nothing_of_a_game(curtain):
    press(curtain, "name", right_letters(curtain))

    kinds = {line["kind"] for line in record_here().lines()}
    assert not kinds & {"answer", "observation"}


def test_a_size_is_read_in_the_readers_unit_or_with_its_own(pair):
    press(pair, "hide", *mix(sag="0.5 in"))

    assert abs(pair.variant.numbers["lf_up"] + 12.7) <= 1.5


def test_no_kind_is_too_many_where_nothing_is_typed():
    with pytest.raises(FormError, match="one or two kinds"):
        mixed_round({}, 1)
