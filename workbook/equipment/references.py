"""Data files beside the code, and single values from outside asked for by name."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from workbook.quantities.units import factor

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

KINDS = (
    "definition",
    "standard",
    "handbook",
    "measured",
    "common practice",
    "invented",
)


@dataclass(frozen=True, kw_only=True)
class Reference:
    """One value from outside, in SI units, with where it comes from.

    ``kind`` is one of `KINDS`; ``from_memory`` says that nobody here has opened
    the source.
    """

    value: float
    unit: str
    source: str
    kind: str
    from_memory: bool = False


def read_data(name: str) -> dict[str, Any]:
    """Return the TOML data file ``name`` that lies beside this module."""
    return tomllib.loads(
        files("workbook.equipment").joinpath(name).read_text(encoding="utf-8")
    )


def in_si(row: Mapping[str, Any], *, unit: Mapping[str, str]) -> dict[str, Any]:
    """Return ``row`` with every column that has a unit converted to SI."""
    return {
        column: value * factor(unit[column]) if column in unit else value
        for column, value in row.items()
    }


@cache
def references() -> Mapping[str, Reference]:
    """Return every single value of ``references.toml`` by its dotted name."""

    def leaves(
        table: Mapping[str, Any], prefix: str
    ) -> Iterator[tuple[str, Reference]]:
        for key, entry in table.items():
            if "value" in entry:
                yield prefix + key, Reference(**entry)
            else:
                yield from leaves(entry, f"{prefix}{key}.")

    return MappingProxyType(dict(leaves(read_data("references.toml"), "")))


def reference(name: str) -> Reference:
    """Return the value called ``name``, with its source.

    Parameters
    ----------
    name : str
        Dotted name of an entry of ``references.toml``.

    Returns
    -------
    Reference

    Raises
    ------
    KeyError
        If there is no such entry.

    Examples
    --------
    >>> reference("gravity").value
    9.80665
    >>> reference("steel.youngs_modulus").source
    'EN 1993-1-1:2005, 3.2.6(1)'
    """
    return references()[name]
