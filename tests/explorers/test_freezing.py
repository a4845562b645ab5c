"""Frozen set-ups stay in sight, and a table compares them."""

import re

from workbook.language import say


def test_three_set_ups_freeze_and_no_more(explorer, settings):
    for k in range(4):
        explorer.set(**{**explorer.start, **settings[k % len(settings)]})
        explorer.freeze()

    assert [letter for letter, _, _ in explorer.frozen] == ["I", "II", "III"]
    assert explorer.compare.widget.value.count("<th>") == 6


def test_the_table_shows_the_difference_of_each_number(explorer, moved):
    explorer.freeze()
    then = explorer.amounts(explorer.result)
    explorer.set(**moved)
    now = explorer.amounts(explorer.result)

    table = explorer.compare.widget.value

    differ = 0
    for name in then.keys() & now.keys():
        (value, kind), (other, _) = now[name], then[name]
        size = explorer.system.show(abs(value - other), kind)
        sign = "−" if explorer.system.show(value - other, kind)[0] == "−" else "+"
        row = re.search(rf"<td>{re.escape(say('amount', name))}</td>.*?</tr>", table)[0]
        assert row.endswith(f"<td>{sign}{size}</td></tr>"), name
        differ += value != other
    assert differ


def test_a_frozen_set_up_stays_in_sight_until_cleared(explorer, moved):
    explorer.freeze()
    explorer.set(**moved)

    assert "ghost I<" in explorer.stage.frame["picture"]
    assert "pw-ghost" in explorer.stage.frame["picture"]

    explorer.clear()

    assert "ghost I<" not in explorer.stage.frame["picture"]
    assert explorer.compare.widget.value == ""
