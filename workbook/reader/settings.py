"""What the reader has chosen once for all: the system of units and the language.

Kept in one small file in the reader's own settings folder; a file that cannot
be read or written is the same as no choice.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

from platformdirs import user_config_path

from workbook.files import read_at_most, read_json, write_whole
from workbook.language import languages, set_language
from workbook.language.sentences import LANGUAGE_VARIABLE
from workbook.quantities.units import METRIC, SYSTEMS, UnitSystem

FOLDER_VARIABLE = "PULLWRIGHT_SETTINGS"  # another folder, for a class server or a test
_watchers: list[Callable[[], None]] = []
LARGEST = 100_000  # bytes; such a file has some fifty


def settings_file() -> Path:
    """Return the path of the settings file, there or not."""
    folder = os.environ.get(FOLDER_VARIABLE)
    return (
        Path(folder) if folder else user_config_path("pullwright")
    ) / "settings.json"


def unit_system() -> UnitSystem:
    """Return the system of units chosen, metric if none is."""
    return SYSTEMS.get(_chosen().get("units", ""), METRIC)


def remember_units(system: UnitSystem) -> None:
    """Keep the choice of units, and tell whoever watches it."""
    _keep("units", system.name)
    for told in [*_watchers]:
        told()


def watch_units(told: Callable[[], None]) -> None:
    """Call ``told`` when other units were chosen on this page."""
    _watchers.append(told)


def use_language() -> None:
    """Go on in the language chosen; one named by the environment comes first.

    A choice that is no language here is the same as no choice.
    """
    chosen = _chosen().get("language", "")
    if LANGUAGE_VARIABLE not in os.environ and chosen in languages():
        set_language(chosen)


def remember_language(name: str) -> None:
    """Go on in a language, and keep the choice.

    Raises
    ------
    LookupError
        If there is no such language.
    """
    set_language(name)
    _keep("language", name)


def _chosen() -> dict[str, str]:
    try:
        choices = read_json(read_at_most(settings_file(), LARGEST))
    except (OSError, ValueError):
        return {}
    if not isinstance(choices, dict):
        return {}
    return {name: value for name, value in choices.items() if isinstance(value, str)}


def _keep(name: str, value: str) -> None:
    """Keep one choice beside the others; a folder not written to keeps nothing."""
    file = settings_file()
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        write_whole(file, (json.dumps({**_chosen(), name: value}) + "\n").encode())
    except OSError:
        return
