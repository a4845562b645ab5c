"""Badge, words, cautions, few controls in front, and a picture for the projector."""

import html
import re
import subprocess
import sys

from workbook.figures.subject import Look
from workbook.language import text
from workbook.scenes.fields import Choice


def said(explorer):
    """Return what the picture says of itself."""
    look = Look(system=explorer.system)
    return explorer.subject.sheets(explorer.result, look).picture.text


def test_at_most_three_controls_are_in_front(explorer, subject):
    choices = [f for f in subject.fields.values() if isinstance(f, Choice)]
    picked = [{}, *({f.name: option} for f in choices for option in f.options)]
    for values in picked:
        explorer.set(**{**explorer.start, **values})

        layouts = [explorer.controls[n].widget.layout for n in explorer.front]

        assert 1 <= sum(layout.display != "none" for layout in layouts) <= 3


def test_a_lesson_names_the_controls_in_front(made, subject):
    name = [*subject.fields][-1]

    explorer = made(front=(name,))

    assert explorer.panel.front == [explorer.controls[name].widget]
    folded = explorer.panel.fold.children[0].children
    assert explorer.controls[name].widget not in folded
    # Every other control, and those paired with one, is behind the fold.
    assert len(folded) == len(subject.fields) - 1 + len(subject.paired)


def test_the_badge_names_what_is_held_fixed(explorer, subject):
    held_words = subject.held_words(explorer.values)

    assert f"Held fixed: {held_words}<" in explorer.badge.value
    assert said(explorer).startswith(f"Held fixed: {held_words}, ")


def test_words_are_two_to_four_sentences(made, settings):
    for setting in settings:
        words = re.sub(r"^Stop:.*?[.] ", "", said(made(setting)))

        assert 2 <= len(re.findall(r"[.](?= |$)", words)) <= 4, words


def test_what_is_told_in_words_is_not_the_pictures_name_too(explorer):
    shown = explorer.stage.frame

    assert said(explorer) in html.unescape(shown["words"])
    name = re.search('aria-label="(.*?)"', shown["picture"]).group(1)
    assert name == text("explorer", "page", "picture")


def test_every_number_has_a_name_in_the_language(made, subject, settings):
    for setting in settings:
        amounts = subject.amounts(made(setting).result)

        assert len({text("amount", name) for name in amounts}) == len(amounts) > 1


def test_a_projector_gets_a_wide_picture_of_the_same_numbers(explorer):
    before = explorer.stage.frame

    explorer.stage.room = "projector"

    assert 'viewBox="0 0 770 540"' in explorer.stage.frame["picture"]
    assert explorer.stage.frame["numbers"] == before["numbers"]


def test_no_explorer_loads_the_state_machine_of_plots():
    probe = (
        "import sys\n"
        "from widgets import EXPLORERS\n"
        "from workbook.figures.drawing.on_axes import figure_of\n"
        "from workbook.figures.subject import Look\n"
        "for made in EXPLORERS.values():\n"
        "    explorer = made()\n"
        "    look = Look(system=explorer.system)\n"
        "    for sheet in explorer.subject.sheets(explorer.result, look).each:\n"
        "        figure_of(sheet).canvas.draw()\n"
        "print(*sys.modules)\n"
    )

    loaded = subprocess.run(
        [sys.executable, "-c", probe], capture_output=True, text=True, check=True
    ).stdout.split()

    assert "matplotlib.figure" in loaded
    assert "matplotlib.pyplot" not in loaded
