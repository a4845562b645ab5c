"""Frozen set-ups stay in sight, and tables compare them."""

import re

import pytest

from workbook.language import say


def rows(table):
    """Return the cells of a table, row by row."""
    lines = re.findall(r"<tr>(.*?)</tr>", table)
    return [re.findall(r"<t[dh][^>]*>(.*?)</t[dh]>", line) for line in lines]


def difference(explorer, now, then, name):
    """Return the signed difference of one number as it is shown."""
    (value, kind), (other, _) = now[name], then[name]
    size = explorer.system.show(abs(value - other), kind)
    sign = "−" if explorer.system.show(value - other, kind)[0] == "−" else "+"
    return f"{sign}{size}"


@pytest.fixture
def frozen(explorer, settings):
    """Freeze three different set-ups and go on to a fourth, the first again."""
    for k in range(3):
        explorer.set(**{**explorer.start, **settings[k % len(settings)]})
        explorer.freeze()
    explorer.set(**{**explorer.start, **settings[1]})
    return explorer


def test_three_set_ups_freeze_and_no_more(frozen):
    frozen.freeze()

    assert [letter for letter, _, _ in frozen.frozen] == ["I", "II", "III"]
    heads = [row[0] for row in rows(frozen.compare.table.value)]
    assert heads == ["", "I", "II", "III", "now", "now − III"]


def test_beside_the_picture_stand_the_telling_numbers_of_each(frozen):
    names = [*frozen.subject.told(frozen.frozen[0].result)][:3]

    head, first, *_, now, _ = rows(frozen.compare.table.value)

    assert head[1:] == [say("amount", name) for name in names]
    for row, result in ((first, frozen.frozen[0].result), (now, frozen.result)):
        told = frozen.amounts(result)
        shown = [
            frozen.system.show(*told[name]) if name in told else "" for name in names
        ]
        assert row[1:] == shown


def test_the_table_of_all_numbers_shows_the_difference_of_each(explorer, moved):
    explorer.freeze()
    then = explorer.amounts(explorer.result)
    explorer.set(**moved)
    now = explorer.amounts(explorer.result)

    head, *lines = rows(explorer.stage.frame["numbers"])

    assert head == ["", "I", "now", "now − I"]
    shown = {line[0]: line[-1] for line in lines}
    both = then.keys() & now.keys()
    for name in both:
        assert shown[say("amount", name)] == difference(explorer, now, then, name)
    assert any(now[name] != then[name] for name in both)


def test_the_difference_is_to_the_one_that_is_chosen(frozen):
    now = frozen.amounts(frozen.result)
    name = next(iter(now))

    for letter, _, result in frozen.frozen:
        frozen.compare.with_which.value = letter

        last = rows(frozen.compare.table.value)[-1]
        assert last[0] == f"now − {letter}"
        assert last[1] == difference(frozen, now, frozen.amounts(result), name)
        assert rows(frozen.stage.frame["numbers"])[0][-1] == f"now − {letter}"


def test_one_frozen_set_up_leaves_no_choice(explorer):
    explorer.freeze()
    assert explorer.compare.choice not in explorer.compare.widget.children

    explorer.freeze()
    assert explorer.compare.choice in explorer.compare.widget.children


def test_a_frozen_set_up_stays_in_sight_until_cleared(explorer, moved):
    explorer.freeze()
    explorer.set(**moved)

    assert "ghost I<" in explorer.stage.frame["picture"]
    assert "pw-ghost" in explorer.stage.frame["picture"]

    explorer.clear()

    assert "ghost I<" not in explorer.stage.frame["picture"]
    assert explorer.compare.widget.children == ()
    assert all(len(row) == 2 for row in rows(explorer.stage.frame["numbers"]))
