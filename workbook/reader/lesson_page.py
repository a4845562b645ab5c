"""What the server hands to the page a lesson opens on: its code as shipped, its words.

An extension of Jupyter's server. The page's own part is in ``labextensions``; it runs
a lesson unasked only where its code is the one handed over here. Messages of a kernel
are handed on at once.
"""

from __future__ import annotations

import json
from typing import Any

from workbook.language import entries, glossary, text
from workbook.reader.opening import shipped_lessons
from workbook.reader.settings import use_language

KEY = "pullwright"  # in the page's configuration


def page_data() -> dict[str, Any]:
    """Return what the page is to know, in the reader's language.

    Examples
    --------
    >>> sorted(page_data())
    ['glossary', 'lessons', 'says']
    """
    use_language()
    shipped = shipped_lessons().items()
    lessons = {name: code_of(raw) for name, raw in shipped if name.endswith(".ipynb")}
    says = {name: text("lesson_page", name) for name in entries()["lesson_page"]}
    words = {one.name: [one.forms, one.meaning] for one in glossary()}
    return {"lessons": lessons, "says": says, "glossary": words}


def code_of(notebook: bytes) -> list[str]:
    """Return the code of a notebook, cell by cell; empty cells do not count."""
    cells = json.loads(notebook)["cells"]
    sources = ["".join(c["source"]) for c in cells if c["cell_type"] == "code"]
    return [source for source in sources if source.strip()]


def at_once(line: type[Any]) -> type[Any]:
    """Return a kind of line from kernel to page that hands each message on at once.

    Without it the system keeps small messages back until the page has taken note of
    the one before, and a page with nothing to say takes its 40 ms for that.
    """

    class AtOnce(line):  # type: ignore[misc]
        def connect(self) -> Any:
            self.websocket_handler.set_nodelay(True)
            return super().connect()

    return AtOnce


def _jupyter_server_extension_points() -> list[dict[str, str]]:
    return [{"module": __name__}]


def _load_jupyter_server_extension(server: Any) -> None:
    settings = server.web_app.settings
    before = settings.get("page_config_hook") or (lambda _handler, config: config)
    settings["page_config_hook"] = lambda handler, config: {
        **before(handler, config),
        KEY: page_data(),
    }
    line = "kernel_websocket_connection_class"
    settings[line] = at_once(settings[line])
