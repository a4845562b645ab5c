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
