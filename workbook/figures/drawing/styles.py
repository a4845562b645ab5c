"""How each role looks: colour in light and dark, width, dash, head, fill.

Colours start from the set made for colour-blind readers by M. Okabe and K. Ito
(jfly.uni-koeln.de/color), darkened on white to 3 : 1 against it. No role is
told by colour alone: each has its own dash, width, arrow head or letter.

In every explorer a colour means one thing: blue is the chain that pulls, green the
ram, red the anchor leg, purple what holds it to the bench, gold a second pull or leg.
Ink is what they make together, and every warning, which its shape and words tell.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Mapping

Theme = Literal["light", "dark"]

PAPER = {"light": "#ffffff", "dark": "#111111"}
INK = {"light": "#1a1a1a", "dark": "#eeeeee"}
GREY = {"light": "#6e6e6e", "dark": "#a0a0a0"}
PALE = {"light": "#e4e4e4", "dark": "#3a3a3a"}
BENCH = {"light": "#f3f3f3", "dark": "#1c1c1c"}
SHADE = {"light": "#d2d2d2", "dark": "#303030"}
BRIGHT = {"light": "#eef0f1", "dark": "#4b4b4b"}
BLUE = {"light": "#0072b2", "dark": "#56b4e9"}
RED = {"light": "#c04d00", "dark": "#ff8c3a"}
GREEN = {"light": "#00795a", "dark": "#3fd0a4"}
PURPLE = {"light": "#8f3f71", "dark": "#e39cc4"}
GOLD = {"light": "#806000", "dark": "#f0e442"}


@dataclass(frozen=True)
class Style:
    """The looks of one role; ``stroke`` and ``fill`` by theme.

    ``cap`` is how the ends of its lines and dashes are cut. A ``quiet`` role is ground
    or shade: words may lie on it, and it need not stand out.
    """

    stroke: Mapping[str, str] | None = None
    fill: Mapping[str, str] | None = None
    width: float = 1.5
    dash: str = ""
    head: str = "barb"
    size: float = 13.0
    bold: bool = False
    cap: Literal["butt", "round"] = "butt"
    quiet: bool = False
    opacity: float = 1.0


STYLES: Mapping[str, Style] = {
    "floor": Style(stroke=GREY, width=2.5),
    "body": Style(stroke=GREY, fill=PALE, width=1.5),
    "sill": Style(stroke=INK, width=4),
    "clamp": Style(stroke=INK, fill=INK, width=1.5),
    "base": Style(stroke=INK, fill=GREY, width=1.5),
    "ram": Style(stroke=GREEN, width=9),
    "extension": Style(stroke=GREEN, width=5),
    "post": Style(stroke=GREY, width=9),
    "head": Style(stroke=INK, fill=PAPER, width=2),
    "oil": Style(stroke=GREY, fill=PALE, width=1),
    "hose": Style(stroke=GREY, width=3),
    "air line": Style(stroke=GREY, width=6),
    "lever": Style(stroke=INK, width=4),
    "fork": Style(stroke=PURPLE, width=5),
    "slot": Style(stroke=PURPLE, fill=PAPER, width=1.5),
    "anchor": Style(stroke=PURPLE, fill=PURPLE, width=2),
    "pull leg": Style(stroke=BLUE, width=4),
    "anchor leg": Style(stroke=RED, width=3.5, dash="9 4"),
    "take-up": Style(stroke=BLUE, width=1.5, dash="2 3"),
    "reference": Style(stroke=GREY, width=1.2, dash="6 4"),
    "wanted": Style(stroke=INK, width=1.8, dash="12 4 2 4", head="open"),
    "angle": Style(stroke=INK, width=1.2),
    "swing": Style(stroke=GREY, fill=PALE, width=1.0, dash="3 3"),
    "ghost": Style(stroke=GREY, width=2, dash="5 4"),
    "expected": Style(stroke=INK, width=1.6, dash="4 3"),
    "expected band": Style(stroke=GREY, width=9, opacity=0.45, quiet=True),
    "expected near": Style(stroke=GREY, fill=PALE, width=1),
    "force ram": Style(stroke=GREEN, fill=GREEN, width=4, head="broad"),
    "force pull": Style(stroke=BLUE, fill=BLUE, width=4, head="barb"),
    "force anchor": Style(stroke=RED, fill=RED, width=4, dash="9 4", head="diamond"),
    "force second": Style(stroke=GOLD, fill=GOLD, width=4, dash="12 4", head="diamond"),
    "second leg": Style(stroke=GOLD, width=4, dash="12 4"),
    "force resultant": Style(stroke=INK, fill=INK, width=4.5, head="open"),
    "part": Style(stroke=INK, fill=INK, width=2.5, head="barb"),
    "bar ram": Style(stroke=GREEN, fill=GREEN),
    "bar pull": Style(stroke=BLUE, fill=BLUE),
    "bar anchor": Style(stroke=RED, fill=RED, width=2.5, dash="9 4", opacity=0.4),
    "bar second": Style(stroke=GOLD, fill=GOLD, width=2.5, dash="12 4", opacity=0.4),
    "bar together": Style(stroke=INK, fill=INK),
    "bar part": Style(stroke=INK, fill=GREY),
    "bar frame": Style(stroke=GREY, fill=PAPER, width=1),
    "bar over": Style(stroke=INK, fill=INK, width=3),
    "grid": Style(stroke=GREY, width=0.5, quiet=True),
    "zone": Style(stroke=GREY, width=1.5, dash="6 3"),
    "hatch": Style(stroke=GREY, width=1.0),
    "limit": Style(stroke=INK, width=2, dash="4 3"),
    "specified": Style(stroke=INK, width=2),
    "measured": Style(stroke=INK, fill=GREY, width=1.5),
    "out of place": Style(stroke=INK, fill=INK, width=3),
    "difference": Style(stroke=INK, width=3),
    "tape": Style(stroke=INK, width=3, dash="10 2"),
    "car outline": Style(stroke=GREY, width=1.2, quiet=True),
    "tilted plane": Style(
        stroke=INK, fill=GREY, width=1.5, dash="6 4", opacity=0.12, quiet=True
    ),
    "plane": Style(stroke=GREY, fill=GREY, width=1.0, opacity=0.12, quiet=True),
    "limit band": Style(stroke=GREY, fill=PALE, width=1),
    "outside": Style(stroke=INK, fill=INK, width=1.5),
    "inside": Style(stroke=GREY, fill=PAPER, width=1.5),
    "frame specified": Style(stroke=GREY, width=1.5, dash="5 4"),
    "frame damaged": Style(stroke=INK, width=2.8),
    "frame outline": Style(stroke=INK, width=2.2),
    "diagonal": Style(stroke=INK, width=1.2, dash="12 4"),
    "support": Style(stroke=INK, fill=PAPER, width=2),
    "force support": Style(stroke=PURPLE, fill=PURPLE, width=3, head="broad"),
    "bar support": Style(stroke=PURPLE, fill=PURPLE),
    "bar slip": Style(stroke=GREY, fill=PALE),
    "line of action": Style(stroke=INK, width=1.5, dash="12 4 2 4"),
    "axis": Style(stroke=INK, width=1.5),
    "loading": Style(stroke=BLUE, width=3),
    "release": Style(stroke=RED, width=3, dash="9 4"),
    "letting go": Style(stroke=INK, width=3, dash="9 4"),
    "hold": Style(stroke=INK, fill=INK, width=2),
    "before": Style(stroke=GREY, width=4, dash="2 3"),
    "under load": Style(stroke=RED, width=2.5, dash="9 4"),
    "after": Style(stroke=BLUE, width=3.5),
    "cover": Style(stroke=PAPER, fill=PAPER, width=0.5, quiet=True),
    "bench top": Style(stroke=GREY, fill=BENCH, width=1, quiet=True),
    "socket": Style(stroke=GREY, width=1, quiet=True),
    "shade": Style(stroke=SHADE, fill=SHADE, width=1, quiet=True),
    "shadow": Style(stroke=SHADE, width=7, cap="round", quiet=True),
    "set-out": Style(stroke=GREY, width=1.2, dash="10 5", quiet=True),
    "drop": Style(stroke=GREY, width=1.2, dash="2 3"),
    "stand": Style(stroke=GREY, width=5),
    "body top": Style(stroke=GREY, fill=BRIGHT, width=1.2),
    "body side": Style(stroke=GREY, fill=PALE, width=1.2),
    "body front": Style(stroke=GREY, fill=SHADE, width=1.2),
    "body glass": Style(stroke=GREY, fill=PAPER, width=1.2),
    "door": Style(stroke=GREY, fill=GREY, width=0.8, opacity=0.14, quiet=True),
    "fork bar": Style(stroke=PURPLE, fill=PALE, width=1.5),
    "fork slot": Style(stroke=PURPLE, width=2, quiet=True),
    "pull core": Style(stroke=BLUE, width=2.4),
    "pull links": Style(stroke=BLUE, width=7.5, dash="3 11", cap="round"),
    "anchor core": Style(stroke=RED, width=1.6, dash="9 5"),
    "anchor links": Style(stroke=RED, width=7.5, dash="3 11", cap="round"),
    "second core": Style(stroke=GOLD, width=1.8, dash="12 4"),
    "second links": Style(stroke=GOLD, width=7.5, dash="3 11", cap="round"),
    "open links": Style(stroke=PAPER, width=3, dash="3 11", cap="round", quiet=True),
    "ram edge": Style(stroke=INK, width=13),
    "sweep": Style(
        stroke=INK, fill=INK, width=1.0, dash="6 4", opacity=0.09, quiet=True
    ),
    "cable": Style(stroke=PURPLE, width=3, dash="5 2"),
    "reach": Style(stroke=PURPLE, width=1.5, dash="2 3"),
    "person": Style(stroke=INK, fill=PAPER, width=2.5),
    "person in line": Style(stroke=INK, fill=INK, width=2),
    "past rating": Style(stroke=INK, fill=INK, width=2),
    "governs": Style(stroke=INK, width=2),
    "fails": Style(stroke=INK, fill=INK, width=1.5),
    "refused": Style(stroke=GREY, width=2.5, dash="3 5"),
    "ram text": Style(stroke=GREEN, size=13, bold=True),
    "pull text": Style(stroke=BLUE, size=13, bold=True),
    "anchor text": Style(stroke=RED, size=13, bold=True),
    "support text": Style(stroke=PURPLE, size=13, bold=True),
    "second text": Style(stroke=GOLD, size=13, bold=True),
    "leader": Style(stroke=GREY, width=1),
    "text": Style(stroke=INK, size=13),
    "strong text": Style(stroke=INK, size=14, bold=True),
    "small text": Style(stroke=INK, size=12),
    "angle text": Style(stroke=INK, size=13),
    "ghost text": Style(stroke=GREY, size=12),
}


@cache
def css_name(role: str) -> str:
    """Return the class name of a role."""
    return "pw-" + role.replace(" ", "-")


def contrast(colour: str, paper: str) -> float:
    """Return the contrast ratio of two colours (WCAG 2.2, relative luminance)."""
    bright, dim = sorted((_luminance(colour), _luminance(paper)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)


def _luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels
    )
    return 0.2126 * r + 0.7152 * g + 0.0722 * b
