"""Every word that an explorer adds to picture and fields comes from the language."""

import pytest
import tomli_w

from workbook.language import entries, set_language


def marked(entry):
    """Return an entry with every sentence in it marked."""
    if isinstance(entry, dict):
        return {name: marked(inner) for name, inner in entry.items()}
    if isinstance(entry, list):
        return [marked(inner) for inner in entry]
    return f"«{entry}»"


@pytest.fixture
def other_language(tmp_path, monkeypatch):
    """Speak a language that marks what it says of explorers, hands and amounts."""
    folder = tmp_path / "languages" / "marked"
    folder.mkdir(parents=True)
    (folder / "language.toml").write_text('name = "marked"\nplurals = "en"\n')
    for file in ("explorer", "hand", "amount"):
        text = tomli_w.dumps(marked(entries()[file]))
        (folder / f"{file}.toml").write_text(text, encoding="utf-8")
    monkeypatch.setenv("PULLWRIGHT_LANGUAGES", str(folder.parent))
    set_language("marked")
    yield
    set_language("en")


def words_of(explorer):
    """Return what stands on buttons, lists, boxes and notes, by where it stands."""
    number = next(c for c in explorer.controls.values() if hasattr(c, "slider"))
    number.box.value = "1e9"
    fold = explorer.panel.fold
    options = dict(
        enumerate(option for option, _ in explorer.named_list.widget.options)
    )
    return {
        "badge": explorer.badge.value,
        "slider": number.slider.description,
        "limits": number.note.value,
        "freeze": explorer.freeze_button.description,
        "clear": explorer.clear_button.description,
        "reset": explorer.reset_button.description,
        "code": explorer.code_box.box.description,
        "table": explorer.compare.table.value,
        "with": explorer.compare.choice.children[0].value,
        "numbers": explorer.stage.frame["numbers"],
        "changed": explorer.stage.frame["spoken"].rpartition(". ")[2],
        "foot": explorer.box.children[-1].value,
        "plain": explorer._repr_mimebundle_()["text/plain"],
        "fold": fold.titles[0] if fold else "«»",
        **{f"named {number}": option for number, option in options.items()},
        **{f"page {name}": word for name, word in explorer.stage.says.items()},
        **{f"extra {name}": b.description for name, b in explorer.extras.items()},
    }


def test_nothing_is_said_in_another_language(made, moved, other_language):
    explorer = made(named={"moved": moved})
    explorer.freeze()
    explorer.load("moved")

    words = words_of(explorer)

    assert {where for where, word in words.items() if "«" not in word} == set()
    for cell in words["numbers"].split("<tr>")[2:]:
        assert cell.startswith('<th scope="row">«')


def test_a_refusal_and_a_mistake_are_told_in_it(made, other_language, monkeypatch):
    explorer = made()
    explorer.stage.refuse("Too flat.")
    assert explorer.stage.frame["spoken"] == "«This does not stand. Too flat.»"

    def broken(*_args):
        raise ZeroDivisionError

    monkeypatch.setattr(type(explorer.subject), "sheets", broken)
    with pytest.raises(ZeroDivisionError):
        explorer.freeze()

    assert "«This is a mistake in the workbook" in explorer.stage.frame["spoken"]
