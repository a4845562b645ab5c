"""The set-up code of an explorer restores it, and a mistyped one says so."""

import random


def test_a_code_restores_every_control(made, values_of, subject):
    rng = random.Random(11)
    first, second = made(), made()
    values = {name: rng.choice(values_of(f)) for name, f in subject.fields.items()}
    first.set(**values)

    second.code_box.box.value = first.code

    assert second.values == first.values == made(code=first.code).values
    assert second.values != second.start


def test_a_mistyped_code_moves_nothing_and_says_so(explorer):
    before = explorer.values

    explorer.code_box.box.value = explorer.code[:-1] + "*"

    assert explorer.values == before
    assert "mistyped" in explorer.code_box.note.value


def test_a_code_is_read_however_it_is_typed(made, moved):
    explorer = made(moved)
    code = explorer.code

    for typed in (
        code.replace("-", ""),
        code.replace("-", " "),
        f"  {code.lower()} ",
        " ".join(code.replace("-", "").lower()),
        code.replace("-", "\N{EN DASH}").replace("0", "o"),
        code.replace("-", "\N{NON-BREAKING HYPHEN}"),
    ):
        assert made(code=typed).values == explorer.values, typed


def test_the_note_of_a_mistyped_code_goes_with_the_mistake(explorer, moved):
    for way_on in (
        lambda: setattr(explorer.code_box.box, "value", explorer.code),
        lambda: explorer.set(**moved),
        explorer.reset,
    ):
        explorer.code_box.box.value = "nonsense"
        assert explorer.code_box.note.value

        way_on()

        assert explorer.code_box.note.value == ""
