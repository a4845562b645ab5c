"""Chains, ropes and the invented shop's parts, from data files with sources."""

from workbook.equipment.chains import Chain, chain, chains, link_mass_per_length
from workbook.equipment.load_path import PLACES, LoadPath, PartLoad, load_path
from workbook.equipment.references import KINDS, Reference, reference, references
from workbook.equipment.ropes import WireRope, rope, ropes
from workbook.equipment.shop import (
    ChainFork,
    Clamp,
    Extension,
    Head,
    Ram,
    Shop,
    pick,
    shop,
)

__all__ = [
    "KINDS",
    "PLACES",
    "Chain",
    "ChainFork",
    "Clamp",
    "Extension",
    "Head",
    "LoadPath",
    "PartLoad",
    "Ram",
    "Reference",
    "Shop",
    "WireRope",
    "chain",
    "chains",
    "link_mass_per_length",
    "load_path",
    "pick",
    "reference",
    "references",
    "rope",
    "ropes",
    "shop",
]
