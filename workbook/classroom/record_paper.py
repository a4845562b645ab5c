"""The repair record of a job on paper: 14 fields, a gap as room to write in."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

from workbook.bay.repair_record import field_names
from workbook.classroom.press import Press
from workbook.language import caution, say

if TYPE_CHECKING:
    from collections.abc import Mapping

TEXT_SIZE = 10.0
ROOM = "\n\n\n"  # to write in, where a field is empty


def record_pages(fields: Mapping[str, str], *, intro: str, paper: str = "a4") -> bytes:
    """Return a record as PDF.

    Parameters
    ----------
    fields : mapping of str to str
        What stands in each of the 14 fields; empty where it is a gap.
    intro : str
        What record it is.
    paper : {"a4", "us-letter"}
        Size of the pages.
    """
    rows = [[name, fields[key] or ROOM] for key, name in field_names().items()]
    table = {
        "kind": "table",
        "head": [say("repair_record", head) for head in ("field_head", "written_head")],
        "rows": rows,
        "named": True,
        "size": TEXT_SIZE,
    }
    first, *last = (
        {"kind": "text", "text": words}
        for words in (intro, caution("S15"), say("repair_record", "no_certificate"))
    )
    data = {
        "title": say("repair_record", "title"),
        "paper": paper,
        "s0": caution("S0"),
        "blocks": [first, table, *last],
    }
    return Press(_template(), {}).pages(data)


@cache
def _template() -> bytes:
    return files(__package__).joinpath("bay.typ").read_bytes()
