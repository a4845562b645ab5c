"""Typed quantities: text with a unit, read by a strict grammar of our own.

Text is never evaluated: the number is read here, and its unit is one that the table
of units has for the kind. Whatever is typed, the answer is a `Typed`: a value, or a
named problem with a sentence for the reader.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Literal

from workbook.language import say, text
from workbook.quantities.table import KINDS, TON_SPELLINGS, UNITS, kind_of
from workbook.quantities.units import factor

if TYPE_CHECKING:
    from collections.abc import Mapping

    from workbook.quantities.table import Kind

Problem = Literal[
    "blank", "too_long", "not_a_number", "words_before", "letter_in_number",
    "two_numbers", "which_number", "which_ton",
    "unit_missing", "unit_unknown", "unit_wrong_kind", "more_than_unit", "not_whole",
]  # fmt: skip

LONGEST = 80  # characters; no quantity needs more, and nothing longer is looked at

_UNIT_OF_SPELLING = {
    word: name for name, unit in UNITS.items() for word in unit.spellings.split()
}
_TON_WORDS = set(TON_SPELLINGS.split())

_ALIKE = str.maketrans(
    {"−": "-", "–": "-", "‒": "-", "‐": "-", "‑": "-", "—": "-"}
    | {"’": "'", "‘": "'", "′": "'", "”": '"', "“": '"', "″": '"', "⁄": "/"}
)
_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+-")
_POWER = re.compile("(?<=10)[⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+")
_AMOUNT = r"""
    (?:(?:(?P<whole>[0-9]{1,6})[ -])?(?P<top>[0-9]{1,3})[ ]?/[ ]?(?P<bottom>[0-9]{1,3})
    |(?P<digits>[0-9.,]+(?:[ '][0-9]{3}(?![0-9]))*(?:[.,][0-9]+)?)
     (?:(?:[eE]|[ ]?[×xX*·⋅∙][ ]?10[ ]?(?:\^|\*\*)[ ]?)(?P<power>[-+]?[0-9]{1,2}))?)"""
_QUANTITY = re.compile(rf"(?P<sign>[-+]?)[ ]?{_AMOUNT}(?P<rest>.*)", re.VERBOSE)
_FEET_INCHES = re.compile(
    rf"""(?P<sign>[-+]?)[ ]?(?P<feet>[0-9]{{1,4}})[ ]?(?:'|ft|feet|foot)[ ]?-?[ ]?
    {_AMOUNT}[ ]?(?:"|''|in\.?|inch|inches)?""",
    re.VERBOSE | re.IGNORECASE,
)
_GROUPED = re.compile(
    r"(?P<whole>[1-9][0-9]{0,2}(?P<mark>[ .,'])[0-9]{3}(?:(?P=mark)[0-9]{3})*)"
    r"(?:(?!(?P=mark))[.,](?P<part>[0-9]+))?"
)
_PLAIN = re.compile(r"[0-9]*[.,]?[0-9]+")
_BARE_POWER = re.compile(r"^[-+]?[ ]?(?=10[ ]?(?:\^|\*\*))")
# 1'250 has thousands in one country, feet and inches in another.
_FEET_OR_THOUSANDS = re.compile(
    r"[-+]?[ ]?(?P<feet>[1-9][0-9]{0,2})'(?P<rest>[0-9]{3})"
)
_RULER = {*range(2, 11), 12, 16, 32, 64}  # parts that a fraction may count
# What stands before the first digit, where no sum begins there.
_BEFORE = re.compile(r"(?P<words>[^0-9(){}\[\]_*^]+?)[-+ ]*[.,]?[0-9]")
# A letter that was typed for a nought or a one, and goes on as a number would.
_FOR_A_DIGIT = re.compile(r"[OoIl|]+(?P<behind>.*)")
# A digit that does not raise a unit, as that of m2 does.
_SECOND = re.compile(r"(?<![^\W\d_])[0-9]|[0-9]{2}")
_UNIT_WORDS = re.compile(r"[^\W\d_]+|[°%]")
_NO_UNIT = re.compile(r"[?!=~&;:,()\[\]]")


@dataclass(frozen=True, kw_only=True)
class Typed:
    """What was read from typed text: a value, or a named problem.

    ``value`` is in SI units and ``unit`` the unit read (a key of
    `UNITS`); both are ``None`` beside a problem. ``number`` is
    the bare number wherever one could be read, also beside a unit problem.
    ``sentence`` says what is wrong and the way out; it may quote what was typed,
    so a page of HTML must escape it.
    """

    value: float | None = None
    unit: str | None = None
    number: float | None = None
    problem: Problem | None = None
    values: Mapping[str, str] = field(default_factory=dict)

    @property
    def sentence(self) -> str:
        """What is wrong and the way out; nothing where nothing is wrong."""
        if self.problem is None:
            return ""
        kinds = {"given", "wanted"} & {*self.values}
        named = {name: text("kind", self.values[name]) for name in kinds}
        return say("typed", self.problem, **{**self.values, **named})


def read_quantity(text: str, *, kind: str, default_unit: str | None = None) -> Typed:
    """Read a number and its unit as people type them.

    A decimal comma, spaced or marked thousands, powers of ten (``1.2×10^4``), fractions
    (``4 7/8 in``), feet and inches and every dash as a minus are understood. What could
    mean two things is asked back, never guessed: the bare word ton, ``12,400 kN``, and
    whatever has a second number or more than a unit in it.

    Parameters
    ----------
    text : str
        What was typed, whatever it is.
    kind : str
        The kind of quantity wanted, a key of `KINDS`.
    default_unit : str, optional
        The unit a bare number takes. Without it a bare number lacks its unit,
        except where a number of times is wanted.

    Returns
    -------
    Typed
        The value in SI units and the unit read, or the problem.

    Raises
    ------
    KeyError
        If ``kind`` is not a kind of quantity of the workbook.

    Examples
    --------
    >>> read_quantity("12,4 kN", kind="force").value
    12400.0
    >>> read_quantity("3 tons", kind="force").problem
    'which_ton'
    >>> read_quantity("40", kind="length", default_unit="mm").value
    0.04
    """
    if kind in {"ratio", "count"}:
        default_unit = default_unit or "1"
    if len(text) > LONGEST:
        return _refuse("too_long")
    tidy = _tidy(text)
    if not tidy:
        return _refuse("blank")
    if kind == "ratio":
        tidy = re.sub(r"^[xX×] ?(?=[0-9])", "", tidy)
    feet, either = _FEET_INCHES.fullmatch(tidy), _FEET_OR_THOUSANDS.fullmatch(tidy)
    if either and kind == "length":
        inches = f"{either['feet']} ft {either['rest']} in"
        return _which(tidy, inches, tidy.replace("'", ""))
    if feet and not either:
        return _read_feet_inches(feet, kind)
    return _read_number_and_unit(tidy, kind, default_unit)


def _refuse(problem: Problem, **values: str) -> Typed:
    return Typed(problem=problem, values=values)


def _tidy(text: str) -> str:
    """Return the text with one kind of space, dash and quote, and no hidden marks."""
    characters = []
    for character in text:
        if unicodedata.decomposition(character).startswith("<fraction>"):
            # ⅞ stands for 7/8, and 4⅞ for 4 7/8, never for 47/8.
            characters.append(" " + unicodedata.normalize("NFKC", character))
        elif unicodedata.category(character) != "Cf":  # Cf: direction marks and such
            characters.append(character)
    tidy = " ".join("".join(characters).translate(_ALIKE).split())
    return _POWER.sub(lambda found: "^" + found[0].translate(_RAISED), tidy)


def _read_number_and_unit(tidy: str, kind: str, default_unit: str | None) -> Typed:
    found = _QUANTITY.fullmatch(_BARE_POWER.sub(r"\g<0>1*", tidy))
    if not found:
        return _no_number_first(tidy)
    rest = found["rest"].strip()
    spoilt = _spoilt(found)
    if spoilt:
        return _refuse(spoilt, typed=_quoted(tidy), units=_listed(KINDS[kind].typed))
    readings = _readings(found)
    if not readings or _not_a_unit(rest):
        return _refuse("not_a_number")
    unit = _read_unit(rest, kind, default_unit)
    if isinstance(unit, str):
        return _choose(found, unit, kind)
    return replace(unit, number=readings[0] if len(readings) == 1 else None)


def _no_number_first(tidy: str) -> Typed:
    before = _BEFORE.match(tidy)
    words = before["words"].strip(" -+.,") if before else ""
    if not words:
        return _refuse("not_a_number")
    return _refuse("words_before", typed=_quoted(words))


def _is_unit(rest: str) -> bool:
    word = _word(rest)
    return not rest or word in _UNIT_OF_SPELLING or word in _TON_WORDS


def _word(rest: str) -> str:
    """Return a unit as the table spells it."""
    return re.sub(r"[ ·⋅∙*^.-]", "", rest).casefold()


def _spoilt(found: re.Match[str]) -> Problem | None:
    """Say what else than one number and one unit was typed, if anything was."""
    rest = found["rest"]
    if int(found["bottom"] or 0) not in {0, *_RULER}:
        return "two_numbers"
    if _is_unit(rest.strip()):
        return None
    for_digit = _FOR_A_DIGIT.fullmatch(rest)
    behind = for_digit["behind"] if for_digit else "?"
    if behind[:1] in {"", " ", ".", ","} or behind[0].isdigit() or _is_unit(behind):
        return "letter_in_number"
    if rest[:1].isdigit() or rest[:1] in "*^":
        return "not_a_number"
    if _SECOND.search(rest):
        return "two_numbers"
    more = len(_UNIT_WORDS.findall(rest)) > 1 or _NO_UNIT.search(rest)
    return "more_than_unit" if more else None


def _not_a_unit(rest: str) -> bool:
    return bool(rest) and not (rest[0].isalpha() or rest[0] in "°%×'\"")


def _readings(found: re.Match[str]) -> tuple[float, ...]:
    """Return what the number can mean: nothing, one value, or decimal and thousands."""
    sign = -1.0 if found["sign"] == "-" else 1.0
    if found["top"]:
        return tuple(sign * size for size in _fraction(found))
    scale = sign * 10.0 ** int(found["power"] or 0)
    return tuple(scale * size for size in _sizes(found["digits"]))


def _fraction(found: re.Match[str]) -> tuple[float, ...]:
    top, bottom = int(found["top"]), int(found["bottom"])
    if bottom not in _RULER or (found["whole"] and top >= bottom):
        return ()
    return (int(found["whole"] or 0) + top / bottom,)


def _sizes(digits: str) -> tuple[float, ...]:
    """Return the sizes that digits with points, commas and spaces can mean."""
    grouped = _GROUPED.fullmatch(digits)
    if grouped:
        whole = re.sub(r"[ .,']", "", grouped["whole"])
        thousands = float(f"{whole}.{grouped['part'] or 0}")
        once = grouped["mark"] in ".," and digits.count(grouped["mark"]) == 1
        if once and grouped["part"] is None:
            return (float(digits.replace(",", ".")), thousands)
        return (thousands,)
    if _PLAIN.fullmatch(digits):
        return (float(digits.replace(",", ".")),)
    return ()


def _read_feet_inches(feet: re.Match[str], kind: str) -> Typed:
    inches = _readings(feet)
    if len(inches) != 1:
        return _refuse("not_a_number")
    if kind != "length":
        return _wrong_kind("ft", "length", kind)
    sign = -1.0 if feet["sign"] == "-" else 1.0
    total = sign * int(feet["feet"]) + inches[0] / 12  # the sign is in inches already
    return Typed(value=total * factor("ft"), unit="ft", number=total)


def _read_unit(rest: str, kind: str, default_unit: str | None) -> str | Typed:
    """Return the unit read after the number, or the problem with it."""
    units = KINDS[kind].typed
    if not rest:
        return default_unit or _refuse("unit_missing", units=_listed(units))
    word = _word(rest)
    unit = _UNIT_OF_SPELLING.get(word)
    if unit in units:
        return unit
    if word in _TON_WORDS and kind == "force":
        return _refuse("which_ton")
    if unit or word in _TON_WORDS:
        return _wrong_kind(rest, kind_of(unit) if unit else "force", kind)
    return _refuse("unit_unknown", typed=_quoted(rest), units=_listed(units))


def _wrong_kind(typed: str, given: str, wanted: str) -> Typed:
    return _refuse(
        "unit_wrong_kind",
        typed=_quoted(typed),
        given=given,
        wanted=wanted,
        units=_listed(KINDS[wanted].typed),
    )


def _choose(found: re.Match[str], unit: str, kind: str) -> Typed:
    """Take the one sensible reading; ask back where two remain.

    One mark before three digits is read as English has it, a comma for thousands and
    a point for decimals, where the other reading makes no sense in a workshop. Else
    it is asked back, in 1.250 mm as in 1,250 mm. The English reading is never dropped
    for being large: 12,400 kN may be a factor of a thousand forgotten, which the
    reader has to see.
    """
    english, *other = _readings(found)
    if other and "," in found["digits"]:
        english, other = other[0], [english]
    if other and _makes_sense(other[0] * factor(unit), KINDS[kind]):
        decimal, thousands = sorted(map(abs, (english, *other)))
        # With a nought more it is no group of three, and so read the second time.
        return _which(found["digits"], _sure(decimal), f"{thousands:.10g}")
    return Typed(value=english * factor(unit), unit=unit, number=english)


def _makes_sense(value: float, kind: Kind) -> bool:
    return kind.smallest_sensible <= abs(value) <= kind.largest_sensible


def _sure(decimal: float) -> str:
    shown = f"{decimal:.10g}"
    return f"{shown}0" if _GROUPED.fullmatch(shown) else shown


def _which(typed: str, decimal: str, thousands: str) -> Typed:
    return _refuse("which_number", typed=typed, decimal=decimal, thousands=thousands)


def _listed(units: tuple[str, ...]) -> str:
    return ", ".join("×" if unit == "1" else unit for unit in units)


def _quoted(typed: str) -> str:
    """Return typed text short and printable, to be shown inside a sentence."""
    shown = "".join(c if c.isprintable() else "?" for c in typed)
    return shown if len(shown) <= 20 else shown[:19] + "…"
