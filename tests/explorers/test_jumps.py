"""Reset, named set-ups and their undo; and what is said to have changed."""


def test_reset_goes_back_to_the_start(made, moved, values_of, subject):
    explorer = made(moved)
    changed = {name: values_of(f)[-1] for name, f in subject.fields.items()}
    explorer.set(**changed)

    explorer.reset()

    assert explorer.values == explorer.start
    assert all(explorer.start[name] == value for name, value in moved.items())


def test_a_second_reset_within_five_seconds_undoes_it(explorer, moved, clock):
    explorer.set(**moved)
    before = explorer.values

    explorer.press("r")
    clock.seconds += 4.9
    explorer.press("r")

    assert explorer.values == before != explorer.start


def test_a_second_reset_after_five_seconds_undoes_nothing(explorer, moved, clock):
    explorer.set(**moved)

    explorer.press("r")
    clock.seconds += 5.1
    explorer.press("r")

    assert explorer.values == explorer.start


def test_number_keys_load_named_set_ups_and_undo_them(made, moved, clock):
    explorer = made(named={"as it was": {}, "moved": moved})
    start = explorer.values

    explorer.press("2")
    loaded = explorer.values
    explorer.press("2")

    assert loaded == {**start, **{k: loaded[k] for k in moved}} != start
    assert explorer.values == start
    explorer.press("9")  # there is no ninth: nothing happens
    assert explorer.values == start


def test_the_list_of_named_set_ups_loads_one_and_shows_which(made, moved):
    explorer = made(named={"moved": moved})
    assert explorer.named_list.widget.value == ""

    explorer.named_list.widget.value = "moved"

    assert explorer.values == {**explorer.start, **made(moved).start}
    assert explorer.named_list.widget.value == "moved"


def test_a_control_that_moves_away_from_a_named_set_up_clears_it(made, moved):
    explorer = made(named={"moved": moved})
    explorer.load("moved")
    before = explorer.values

    explorer.reset()
    assert explorer.loaded == explorer.named_list.widget.value == ""
    explorer.set(**before)

    # However it is reached, by code or by hand, it is the same set-up.
    assert explorer.loaded == explorer.named_list.widget.value == "moved"


def test_the_heading_of_the_list_loads_nothing(made, moved):
    explorer = made(named={"moved": moved})
    explorer.load("moved")
    before = explorer.values

    explorer.named_list.widget.value = ""

    assert explorer.values == before
    assert explorer.named_list.widget.value == "moved"


def test_what_changed_is_said_and_forgotten_once_at_rest(explorer, moved, clock):
    name, value = next(iter(moved.items()))
    clock.seconds += 10

    explorer.set(**{name: value})

    if explorer.result is not None:
        assert "Changed: " in explorer.stage.frame["spoken"]
        assert explorer.subject.fields[name].label in explorer.stage.frame["spoken"]
        clock.seconds += 10
        explorer.freeze()
        assert "Changed: " not in explorer.stage.frame["spoken"]
