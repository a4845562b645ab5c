"""The questions C1 to C12."""

ITEMS = {"C3": {"bearing": None}}
