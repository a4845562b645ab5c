"""Set-up files: a set-up of one pull as TOML, read and written.

The file is in millimetres, degrees and kilonewtons; `KEYS` lists every key. Nothing
of it is needed: a key left out takes its start value.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import tomli_w

from workbook.errors import FormError
from workbook.scenes.forms import FORM, read_titled, refuse_unknown
from workbook.scenes.setups import ANCHOR_LEG, FIELDS, Setup

if TYPE_CHECKING:
    from workbook.scenes.fields import Value

KEYS = {field.key: name for name, field in FIELDS.items()}


def from_toml(text: str | bytes) -> Setup:
    """Read a set-up file.

    Parameters
    ----------
    text : str or bytes
        What the file holds.

    Returns
    -------
    Setup

    Raises
    ------
    FormError
        One sentence that names the key, or the line, and the way out.
    """
    title, data = read_titled(text, what="set_up")
    given = _flat(data)
    leg = given.pop(ANCHOR_LEG.key, None)
    if leg is not None and "ram.lean_deg" in given:
        raise FormError("set_up.lean_and_leg", lean="ram.lean_deg", leg=ANCHOR_LEG.key)
    values = {
        KEYS[key]: FIELDS[KEYS[key]].checked(value, called=key)
        for key, value in given.items()
    }
    return Setup(
        title=title,
        values=values,
        anchor_leg_mm=None
        if leg is None
        else ANCHOR_LEG.checked(leg, called=ANCHOR_LEG.key),
    )


def _flat(data: dict[str, Any]) -> dict[str, Any]:
    """Return ``section.key`` values; refuse what is no key of the form."""
    flat: dict[str, Any] = {}
    for section, content in data.items():
        entries = content if isinstance(content, dict) else {"": content}
        flat |= {f"{section}.{key}".rstrip("."): v for key, v in entries.items()}
    refuse_unknown(flat, [*KEYS, ANCHOR_LEG.key], "forms.unknown_key")
    return flat


def to_toml(setup: Setup) -> str:
    """Return a set-up as the text of a file, every key written."""
    entries = {key: setup.values[name] for key, name in KEYS.items()}
    if setup.anchor_leg_mm is not None:
        del entries["ram.lean_deg"]
        entries[ANCHOR_LEG.key] = setup.anchor_leg_mm
    tables: dict[str, dict[str, Value]] = {}
    for key, value in entries.items():
        table, _, name = key.partition(".")
        tables.setdefault(table, {})[name] = value
    return tomli_w.dumps({"form": FORM, "title": setup.title, **tables})
