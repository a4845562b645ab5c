"""What the reader has chosen once for all: the system of units.

Kept in one small file in the reader's own settings folder; a file that cannot
be read or written is the same as no choice.
"""

from __future__ import annotations

import json
import os
from pathlib import Path

from platformdirs import user_config_path

from workbook.quantities.units import METRIC, SYSTEMS, UnitSystem

FOLDER_VARIABLE = "PULLWRIGHT_SETTINGS"  # another folder, for a class server or a test


def settings_file() -> Path:
    """Return the path of the settings file, there or not."""
    folder = os.environ.get(FOLDER_VARIABLE)
    return (
        Path(folder) if folder else user_config_path("pullwright")
    ) / "settings.json"


def unit_system() -> UnitSystem:
    """Return the system of units chosen, metric if none is."""
    try:
        chosen = json.loads(settings_file().read_text("utf-8"))["units"]
        return SYSTEMS[chosen]
    except (OSError, ValueError, KeyError, TypeError):
        return METRIC


def remember_units(system: UnitSystem) -> None:
    """Keep the choice of units; a folder that cannot be written keeps nothing."""
    file = settings_file()
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(json.dumps({"units": system.name}) + "\n", "utf-8")
    except OSError:
        return
