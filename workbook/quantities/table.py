"""The one table of units: what each is worth, and how it is typed and shown.

Every size is exact, so that each conversion is the double nearest to the truth.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import inf, pi
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

# Exact by definition.
INCH = Fraction("0.0254")  # m, international yard and pound agreement, 1959
POUND = Fraction("0.45359237")  # kg, international yard and pound agreement, 1959
GRAVITY = Fraction("9.80665")  # m/s^2, 3rd CGPM, 1901
BAR = 100_000  # Pa, BIPM, The International System of Units, 9th ed., 2019
SHORT_TON, LONG_TON = 2000, 2240  # lb, NIST Handbook 44, 2024, appendix C
TON = 1000  # kg, BIPM, The International System of Units, 9th ed., 2019, table 8

FOOT = 12 * INCH
POUND_FORCE = POUND * GRAVITY
MILLI = Fraction(1, 1000)


@dataclass(frozen=True, kw_only=True)
class Unit:
    """One unit.

    Attributes
    ----------
    size : Fraction, int or float
        SI units in one of it; a float where it is no fraction.
    spellings : str
        What readers type for it, in small letters, without blanks and dots.
    ending : str
        What stands behind a shown number, where it is not a blank and the name.
    kept : int
        Decimals that a field in this unit keeps.
    boxed : int
        Decimals that a box to type in shows at most.
    step : float
        One key press of a slider whose field is in another unit.
    """

    size: Fraction | int | float
    spellings: str
    ending: str | None = None
    kept: int = 1
    boxed: int = 1
    step: float = 1.0


UNITS: Mapping[str, Unit] = {
    "mm": Unit(
        size=MILLI, spellings="mm millimeter millimeters millimetre millimetres"
    ),
    "cm": Unit(
        size=10 * MILLI,
        spellings="cm centimeter centimeters centimetre centimetres",
    ),
    "m": Unit(size=1, spellings="m meter meters metre metres"),
    "in": Unit(size=INCH, spellings='in inch inches "', boxed=2, step=0.25),
    "ft": Unit(size=FOOT, spellings="ft foot feet '"),
    "N": Unit(size=1, spellings="n newton newtons"),
    "kN": Unit(size=1000, spellings="kn kilonewton kilonewtons", kept=2, boxed=2),
    "lbf": Unit(
        size=POUND_FORCE,
        spellings="lbf lb lbs lbsf pound pounds poundforce poundsforce",
        boxed=0,
        step=100.0,
    ),
    "kgf": Unit(size=GRAVITY, spellings="kgf kilogramforce kilogramsforce"),
    "tf": Unit(
        size=TON * GRAVITY,
        spellings="tf metrictf metricton metrictons metrictonforce metrictonsforce "
        "tonne tonnes tonneforce tonnesforce",
        boxed=2,
        step=0.1,
    ),
    "short tf": Unit(
        size=SHORT_TON * POUND_FORCE,
        spellings="shorttf shortton shorttons shorttonforce shorttonsforce "
        "uston ustons",
    ),
    "long tf": Unit(
        size=LONG_TON * POUND_FORCE,
        spellings="longtf longton longtons longtonforce longtonsforce ukton uktons",
    ),
    "bar": Unit(size=BAR, spellings="bar bars", boxed=0),
    "MPa": Unit(size=10**6, spellings="mpa megapascal megapascals"),
    "N/mm²": Unit(size=10**6, spellings="n/mm2 n/mm²"),
    "psi": Unit(
        size=POUND_FORCE / INCH**2,
        spellings="psi lbf/in2 lbf/in²",
        boxed=0,
        step=50.0,
    ),
    "deg": Unit(size=pi / 180, spellings="deg degs degree degrees ° º", ending="°"),
    "rad": Unit(size=1, spellings="rad radian radians"),
    "J": Unit(size=1, spellings="j joule joules"),
    "N m": Unit(
        size=1, spellings="nm newtonmeter newtonmeters newtonmetre newtonmetres"
    ),
    "kN m": Unit(
        size=1000,
        spellings="knm kilonewtonmeter kilonewtonmeters kilonewtonmetre "
        "kilonewtonmetres",
    ),
    "tf m": Unit(
        size=TON * GRAVITY,
        spellings="tfm metrictonmeter metrictonmetre tonnemeter tonnemetre",
    ),
    "ft lbf": Unit(
        size=FOOT * POUND_FORCE, spellings="ftlbf ftlb ftlbs footpound footpounds"
    ),
    "lbf ft": Unit(
        size=FOOT * POUND_FORCE, spellings="lbfft lbft lbsft poundfoot poundfeet"
    ),
    "kg": Unit(size=1, spellings="kg kgs kilogram kilograms"),
    "g": Unit(size=MILLI, spellings="g gram grams"),
    "kg/m": Unit(size=1, spellings="kg/m"),
    "lb/ft": Unit(size=POUND / FOOT, spellings="lb/ft lbs/ft"),
    "N/m": Unit(size=1, spellings="n/m"),
    "kN/mm": Unit(size=10**6, spellings="kn/mm"),
    "tf/mm": Unit(size=TON * GRAVITY * 1000, spellings="tf/mm", boxed=2, step=0.1),
    "lbf/in": Unit(
        size=POUND_FORCE / INCH, spellings="lbf/in lb/in", boxed=0, step=100.0
    ),
    "L/min": Unit(size=Fraction(1, 60_000), spellings="l/min lpm"),
    "in³/min": Unit(size=INCH**3 / 60, spellings="in3/min in³/min", boxed=0, step=5.0),
    "s": Unit(size=1, spellings="s sec secs second seconds"),
    "min": Unit(size=60, spellings="min mins minute minutes"),
    "%": Unit(size=Fraction(1, 100), spellings="% percent", ending="%"),
    "1": Unit(size=1, spellings="x × times fold", ending=""),
}
# The word that may mean any of three tons.
TON_SPELLINGS = "t ton tons tonf tonforce tonsforce"


@dataclass(frozen=True, kw_only=True)
class Kind:
    """One kind of quantity.

    Attributes
    ----------
    si : str
        Its SI unit, as it stands behind a number.
    metric, inch, ton : (str, int)
        Unit and decimals shown in each system; ``inch`` and ``ton`` only where they
        differ from ``metric``.
    typed : tuple of str
        Units that may be typed, in the order a reader is told them.
    smallest_sensible : float
        Below this a value makes no sense in a workshop, so that "12,400 N" is not
        12.4 N. [SI]
    largest_sensible : float
        Above this it makes none, so that "12.375 kN" is not 12 375 kN. [SI]
    """

    si: str = ""
    metric: tuple[str, int]
    inch: tuple[str, int] | None = None
    ton: tuple[str, int] | None = None
    typed: tuple[str, ...] = ()
    smallest_sensible: float = 0.0
    largest_sensible: float = inf


KINDS: Mapping[str, Kind] = {
    "length": Kind(
        si="m",
        metric=("mm", 0),
        inch=("in", 2),
        typed=("mm", "cm", "m", "in", "ft"),
        largest_sensible=10.0,
    ),
    "small length": Kind(si="m", metric=("mm", 1), inch=("in", 2)),
    "force": Kind(
        si="N",
        metric=("kN", 1),
        inch=("lbf", 0),
        ton=("tf", 2),
        typed=("kN", "N", "lbf", "kgf", "tf", "short tf", "long tf"),
        smallest_sensible=50.0,
        largest_sensible=500e3,
    ),
    "small force": Kind(si="N", metric=("N", 0), inch=("lbf", 1), ton=("kgf", 1)),
    "strength": Kind(  # of metal, before pressure: N/mm² names it
        si="Pa",
        metric=("N/mm²", 0),
        inch=("psi", 0),
        typed=("N/mm²", "MPa", "psi"),
        smallest_sensible=1e6,
        largest_sensible=5e9,
    ),
    "pressure": Kind(
        si="Pa",
        metric=("bar", 0),
        inch=("psi", 0),
        typed=("bar", "MPa", "N/mm²", "psi"),
        smallest_sensible=1e5,
        largest_sensible=1500e5,
    ),
    "angle": Kind(metric=("deg", 1), typed=("deg", "rad"), largest_sensible=2 * pi),
    "energy": Kind(
        si="J",
        metric=("J", 1),
        inch=("ft lbf", 0),
        typed=("J", "N m", "kN m", "ft lbf", "lbf ft"),
        largest_sensible=500e3,
    ),
    "moment": Kind(
        si="N m",
        metric=("kN m", 2),
        inch=("lbf ft", 0),
        ton=("tf m", 3),
        typed=("kN m", "N m", "tf m", "lbf ft", "ft lbf"),
        largest_sensible=500e3,
    ),
    "mass": Kind(si="kg", metric=("kg", 1), typed=("kg", "g")),
    "line mass": Kind(
        si="kg/m",
        metric=("kg/m", 2),
        inch=("lb/ft", 2),
        typed=("kg/m", "lb/ft"),
        largest_sensible=100.0,
    ),
    "line load": Kind(
        si="N/m", metric=("N/m", 1), typed=("N/m",), largest_sensible=1e3
    ),
    "stiffness": Kind(
        si="N/m",
        metric=("kN/mm", 1),
        inch=("lbf/in", 0),
        ton=("tf/mm", 2),
        typed=("kN/mm", "N/m", "tf/mm", "lbf/in"),
        largest_sensible=1e8,
    ),
    "flow": Kind(
        si="m³/s",
        metric=("L/min", 1),
        inch=("in³/min", 0),
        typed=("L/min", "in³/min"),
        largest_sensible=1e-3,
    ),
    "time": Kind(si="s", metric=("s", 1), typed=("s", "min")),
    "share": Kind(metric=("%", 0), typed=("%",), largest_sensible=10.0),
    "ratio": Kind(metric=("1", 2), typed=("1", "%"), largest_sensible=100.0),
    "count": Kind(metric=("1", 0), typed=("1",), largest_sensible=1000.0),
}


def kind_of(unit: str) -> str:
    """Return the kind of quantity that a unit measures first of all.

    Examples
    --------
    >>> kind_of("kN"), kind_of("kN m")
    ('force', 'energy')
    """
    return next(kind for kind, row in KINDS.items() if unit in row.typed)


def unit_in(name: str) -> str:
    """Return the unit that a name ends with, or ``"1"``.

    Examples
    --------
    >>> unit_in("clamp_height_mm"), unit_in("stiffness_kn_per_mm"), unit_in("pushes")
    ('mm', 'kN/mm', '1')
    """
    words = name.split("_")
    ends = ["_".join(words[k:]) for k in range(1, len(words))]
    return next((_BY_ENDING[end] for end in ends if end in _BY_ENDING), "1")


_BY_ENDING = {
    unit.lower().replace("/", "_per_").replace(" ", "_"): unit for unit in UNITS
} | {"percent": "%", "n_per_mm2": "N/mm²"}
