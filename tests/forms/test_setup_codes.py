"""Set-up codes: they come back whole, and a slip of the hand is caught."""

import random
import re

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from workbook.errors import FormError
from workbook.figures.pictures import subjects
from workbook.scenes import bridles, codes, setups
from workbook.scenes.fields import starts

EXPLORERS = {subject.word: subject.fields for subject in subjects().values()}


@st.composite
def set_ups(draw):
    """Return a word and any values its fields can hold."""
    word = draw(st.sampled_from(sorted(EXPLORERS)))
    fields = EXPLORERS[word]
    places = {name: st.integers(0, field.places - 1) for name, field in fields.items()}
    chosen = draw(st.fixed_dictionaries(places))
    return word, {name: fields[name].from_place(at) for name, at in chosen.items()}


def some_codes(count):
    """Return codes of every explorer, half of its values changed."""
    rng = random.Random(3)
    for word, fields in EXPLORERS.items():
        for _ in range(count):
            values = starts(fields)
            for name in rng.sample(sorted(fields), (len(fields) + 1) // 2):
                field = fields[name]
                values[name] = field.from_place(rng.randrange(field.places))
            yield word, fields, codes.encode(word, fields, values)


@settings(max_examples=150, deadline=None)
@given(set_ups())
def test_any_values_come_back_from_their_code(set_up):
    word, values = set_up

    code = codes.encode(word, EXPLORERS[word], values)

    assert codes.decode(word, EXPLORERS[word], code) == values
    assert re.fullmatch(rf"{word}(-[0-9A-HJKMNP-TV-Z]{{1,4}})+", code)


@settings(max_examples=60, deadline=None)
@given(set_ups())
def test_a_code_may_be_typed_in_small_letters_spaced_and_with_lookalikes(set_up):
    word, values = set_up
    code = codes.encode(word, EXPLORERS[word], values)
    head, _, rest = code.partition("-")

    loose = rest.replace("0", "o").replace("1", "l").replace("-", " - ")

    typed = f"  {head.lower()}-{loose.lower()}\n"
    assert codes.decode(word, EXPLORERS[word], typed) == values


@pytest.mark.parametrize("word", sorted(EXPLORERS))
def test_the_start_has_a_short_code(word):
    code = codes.encode(word, EXPLORERS[word], starts(EXPLORERS[word]))

    assert len(code) <= len(word) + 11
    assert codes.decode(word, EXPLORERS[word], code) == starts(EXPLORERS[word])


def test_the_more_is_changed_the_longer_the_code():
    values = starts(setups.FIELDS)
    lengths = [len(codes.encode("PULL1", setups.FIELDS, values))]
    for name, field in setups.FIELDS.items():
        values[name] = field.from_place(field.places - 1)
        lengths.append(len(codes.encode("PULL1", setups.FIELDS, values)))

    assert lengths == sorted(lengths)
    assert lengths[0] < 20
    assert 40 < lengths[-1] < codes.LONGEST


def test_one_wrong_symbol_is_all_but_always_caught():
    # Three check symbols of five bits miss one slip in 32^3 = 32768 by chance.
    tried, missed = 0, []
    for word, fields, code in some_codes(4):
        for at in range(len(word) + 1, len(code)):
            for symbol in codes.SYMBOLS:
                slip = code[:at] + symbol + code[at + 1 :]
                if "-" in (code[at], symbol) or slip == code:
                    continue
                tried += 1
                try:
                    missed.append((code, codes.decode(word, fields, slip)))
                except FormError:
                    continue

    assert tried > 8_000
    assert len(missed) <= 2, missed


def test_two_symbols_swapped_are_caught():
    tried = 0
    for word, fields, code in some_codes(4):
        body = code.partition("-")[2].replace("-", "")
        for at in range(len(body) - 1):
            slip = body[:at] + body[at + 1] + body[at] + body[at + 2 :]
            if slip == body:
                continue
            tried += 1

            with pytest.raises(FormError, match="mistyped"):
                codes.decode(word, fields, f"{word}-{slip}")

    assert tried > 200


def test_a_code_cut_short_is_caught():
    for word, fields, code in some_codes(2):
        for end in range(len(word) + 1, len(code)):
            if code[end - 1] == "-" and end > len(word) + 1:
                continue

            with pytest.raises(FormError, match="mistyped"):
                codes.decode(word, fields, code[:end])


def test_a_code_of_another_explorer_or_version_is_refused():
    for word, fields, code in some_codes(1):
        others = {other for other in EXPLORERS if other != word}
        for wrong in sorted(others | {f"{word[:-1]}2", "", "X" + word}):
            with pytest.raises(FormError, match=f"must begin with {word}-"):
                codes.decode(word, fields, code.replace(word, wrong, 1))
        # Without its version, the first symbol after it may look like one.
        with pytest.raises(FormError, match=f"must begin with {word}-|mistyped"):
            codes.decode(word, fields, code.replace(word, word[:-1], 1))


@settings(max_examples=200, deadline=None)
@given(
    word=st.sampled_from(sorted(EXPLORERS)),
    junk=st.text(st.characters(exclude_categories=()), max_size=300)
    | st.text(codes.SYMBOLS + "-oil*", max_size=300),
    own=st.booleans(),
)
@example(word="PULL1", junk="\udcff1234", own=True)  # bytes that are no text
def test_junk_is_refused_in_a_sentence(word, junk, own):
    text = f"{word}-{junk}" if own else junk
    fields, values, sentence = EXPLORERS[word], {}, ""

    try:
        values = codes.decode(word, fields, text)
    except FormError as refusal:
        sentence = str(refusal)

    # One in 32768 passes by chance; then it holds values that are allowed.
    assert all(fields[name].checked(value) == value for name, value in values.items())
    assert bool(values) != bool(re.search(r"[a-z ]{20,}[:;] [a-z ]+", sentence))


def test_a_good_check_on_a_body_that_says_nothing_is_refused():
    for body in ("0", "Z" * 150, "10", "*"):
        code = f"ROLLER1-{body}{codes._check('ROLLER1', body)}"

        with pytest.raises(FormError, match="no longer allowed"):
            codes.decode("ROLLER1", bridles.ROLLER_FIELDS, code)
