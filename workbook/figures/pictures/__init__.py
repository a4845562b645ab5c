"""Pictures of results, one file a subject."""

from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from workbook.figures.subject import Subject


@cache
def subjects() -> dict[str, Subject[Any]]:
    """Return every subject that a module of this folder declares, by name.

    Examples
    --------
    >>> subjects()["chain sag"].word
    'SAG1'
    """
    modules = [import_module(f"{__name__}.{m.name}") for m in iter_modules(__path__)]
    return {
        declared.name: declared
        for module in modules
        for declared in vars(module).values()
        if isinstance(declared, Subject)
    }
