"""Questions for a learning platform: a package of fixed variants in QTI 2.1.

A numeric question asks for a number alone, so the unit stands in the question. Each
variant is an item with its bounds: right, close, each known mistake with its own
feedback, and the rest. Variants in which all mistakes can be told apart go first; where
an exercise has none, a number that two of them lead to says what is to be said of both.
It marks one answer; tries, hints and earlier answers are the platform's.

References
----------
.. [1] IMS Global Learning Consortium, *Question and Test Interoperability Assessment
   Test, Section, and Item Information Model*, version 2.1 final, 2012.
.. [2] IMS Global Learning Consortium, *QTI v2.1 profile of Content Packaging 1.2*,
   schema ``qtiv2p1_imscpv1p2_v1p0.xsd``, final, 2014: the metadata of a manifest.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from pathlib import Path
from xml.etree import ElementTree as Xml

from workbook.classroom.files import write_all
from workbook.errors import FormError
from workbook.exercises import exercises_of, wording
from workbook.exercises.answers.quantity import (
    CLOSE_MARKS,
    FULL_MARKS,
    SAME,
    Quantity,
)
from workbook.exercises.declaration import Exercise
from workbook.exercises.engine import Variant, variant_for
from workbook.exercises.sets import PRACTICE
from workbook.language import caution, language, say, text
from workbook.quantities.units import factor

ITEM = "http://www.imsglobal.org/xsd/imsqti_v2p1"
PACKAGE = "http://www.imsglobal.org/xsd/imscp_v1p1"
SCHEMA = "http://www.w3.org/2001/XMLSchema-instance"
SCHEMAS = "http://www.imsglobal.org/xsd/qti/qtiv2p1/"
LOCATION = f"{ITEM} {SCHEMAS}imsqti_v2p1.xsd"
PACKED = f"{PACKAGE} {SCHEMAS}qtiv2p1_imscpv1p2_v1p0.xsd"
KIND = "imsqti_item_xmlv2p1"
SEEDED = "qti"  # nobody's class key: the variants are the same everywhere
MOST_DRAWN = 400
MOST_VARIANTS = 20
WHEN = (2026, 1, 1, 0, 0, 0)  # the same package, the same bytes
RESPONSE, SCORE, FEEDBACK = "RESPONSE", "SCORE", "FEEDBACK"
REST = "none_of_these"


@dataclass(frozen=True, kw_only=True)
class Band:
    """A range of answers with what it is called, what it earns and what is said."""

    name: str
    low: float
    high: float
    score: float
    told: tuple[str, ...]


def bands_of(variant: Variant) -> list[Band]:
    """Return the ranges of a numeric question, in its unit, first match first."""
    answer = variant.quantity
    unit = factor(answer.unit)
    right, full = variant.answer / unit, variant.tolerance / unit
    bands = [
        _band("right", right, full, FULL_MARKS, (_outcome(variant, "right"),)),
        _band("close", right, 2 * full, CLOSE_MARKS, (_outcome(variant, "close"),)),
    ]
    known = _known(variant)
    pairs = combinations(known, 2)
    both = (_both(a, b) for a, b in pairs if _overlap(a, b))
    return [*bands, *both, *known]


def _known(variant: Variant) -> list[Band]:
    """Return the ranges of the known mistakes."""
    answer, known = variant.quantity, []
    unit, size = factor(answer.unit), answer.tolerance.absolute / 4
    for mistake, value in variant.armed:
        wrong = value / unit
        near = max(SAME * abs(wrong), size)
        told = wording.refutation(variant.exercise, mistake.name)
        known.append(_band(mistake.name, wrong, near, mistake.score, told))
    return known


def _overlap(a: Band, b: Band) -> bool:
    return a.name != b.name and max(a.low, b.low) <= min(a.high, b.high)


def _both(a: Band, b: Band) -> Band:
    """Return where two mistakes lead to one number; the lower mark counts."""
    return Band(
        name=f"{a.name}.{b.name}",
        low=max(a.low, b.low),
        high=min(a.high, b.high),
        score=min(a.score, b.score),
        told=(*a.told, *b.told),
    )


def _outcome(variant: Variant, name: str) -> str:
    own = text("outcome").get(variant.quantity.says, {})
    return str(own.get(name, text("outcome", name)))


def _band(
    name: str, value: float, near: float, score: float, told: tuple[str, ...]
) -> Band:
    return Band(name=name, low=value - near, high=value + near, score=score, told=told)


def fixed_variants(one: Exercise, count: int) -> list[Variant]:
    """Return so many variants of a numeric exercise, or as many as there are.

    Those in which every mistake can be told apart; if there are none, others. The same
    come out everywhere.
    """
    found: list[Variant] = []
    others: list[Variant] = []
    for number in range(MOST_DRAWN):
        variant = variant_for(one, class_key=SEEDED, student=f"{number}", set=PRACTICE)
        numbers = [dict(other.numbers) for other in (*found, *others)]
        if dict(variant.numbers) not in numbers:
            (found if _apart(bands_of(variant)[1:]) else others).append(variant)
        if len(found) == count:
            break
    return found or others[:count]


def _apart(bands: Sequence[Band]) -> bool:
    """Tell whether no answer lies in two bands of different names."""
    ordered = sorted(bands, key=lambda band: band.low)
    return not any(_overlap(a, b) for a, b in pairwise(ordered))


def numeric(lesson: str) -> list[Exercise]:
    """Return a lesson's exercises that ask for a number and stand alone."""
    every = exercises_of(lesson)
    return [e for e in every if isinstance(e.answer, Quantity) and e.carry is None]


# ---------------------------------------------------------------------------- item


def item_of(variant: Variant, identifier: str) -> bytes:
    """Return one variant as an assessment item."""
    one, bands = variant.exercise, bands_of(variant)
    title = say("classroom", "qti", "title", id=one.id, title=wording.title(one))
    item = _root(
        "assessmentItem",
        ITEM,
        LOCATION,
        identifier=identifier,
        title=title,
        adaptive="false",
        timeDependent="false",
        **{"xml:lang": language()},
    )
    answer = _add(item, "responseDeclaration", _declared(RESPONSE, "float"))
    right = variant.answer / factor(variant.quantity.unit)
    _value(_add(answer, "correctResponse"), right)
    for name, kind in ((SCORE, "float"), (FEEDBACK, "identifier")):
        outcome = _add(item, "outcomeDeclaration", _declared(name, kind))
        if name == SCORE:
            _value(_add(outcome, "defaultValue"), 0.0)
    body = _add(item, "itemBody")
    _add(body, "p").text = wording.question(variant)
    box = _add(body, "p")
    box.text = say("classroom", "qti", "unit", unit=_unit(variant)) + " "
    _add(box, "textEntryInteraction", {"responseIdentifier": RESPONSE})
    _add(body, "p").text = caution("S0")
    _process(_add(item, "responseProcessing"), bands)
    told = {band.name: band.told for band in bands}
    told[REST] = (_outcome(variant, REST),)
    for name, sentences in told.items():
        shown = {"outcomeIdentifier": FEEDBACK, "showHide": "show", "identifier": name}
        feedback = _add(item, "modalFeedback", shown)
        for sentence in sentences:
            _add(feedback, "p").text = sentence
    return _written(item)


def _unit(variant: Variant) -> str:
    unit = variant.quantity.unit
    return say("classroom", "qti", "no_unit") if unit == "1" else unit


def _declared(name: str, kind: str) -> dict[str, str]:
    return {"identifier": name, "cardinality": "single", "baseType": kind}


def _value(parent: Xml.Element, number: float) -> None:
    _add(parent, "value").text = repr(number)


def _process(processing: Xml.Element, bands: Sequence[Band]) -> None:
    """Add the rules: the first band that an answer lies in decides."""
    condition = _add(processing, "responseCondition")
    for place, band in enumerate(bands):
        rule = _add(condition, "responseElseIf" if place else "responseIf")
        both = _add(rule, "and")
        for name, bound in (("gte", band.low), ("lte", band.high)):
            test = _add(both, name)
            _add(test, "variable", {"identifier": RESPONSE})
            _add(test, "baseValue", {"baseType": "float"}).text = repr(bound)
        _decide(rule, band.name, band.score)
    _decide(_add(condition, "responseElse"), REST, 0.0)


def _decide(rule: Xml.Element, name: str, score: float) -> None:
    for outcome, kind, value in (
        (SCORE, "float", repr(float(score))),
        (FEEDBACK, "identifier", name),
    ):
        setting = _add(rule, "setOutcomeValue", {"identifier": outcome})
        _add(setting, "baseValue", {"baseType": kind}).text = value


# ------------------------------------------------------------------------- package


def package_of(lesson: str, *, count: int) -> bytes:
    """Return a lesson's numeric exercises as a package, ``count`` variants of each.

    Raises
    ------
    FormError
        If the lesson asks for no number.
    """
    items = dict(_items(lesson, count))
    if not items:
        raise FormError("marks.no_numbers", lesson=lesson)
    files = {"imsmanifest.xml": _manifest(lesson, [*items]), **items}
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(zipfile.ZipInfo(name, WHEN), content)
    return packed.getvalue()


def write_package(lesson: str, out: Path, *, count: int) -> tuple[Path, int, list[str]]:
    """Write a lesson's package.

    Returns
    -------
    Path, int, list of str
        Its file, how many items are in it, and the exercises that are not.
    """
    made = package_of(lesson, count=count)
    packed = {one.id for one in numeric(lesson)}
    left = [one.id for one in exercises_of(lesson) if one.id not in packed]
    with zipfile.ZipFile(io.BytesIO(made)) as archive:
        items = len(archive.namelist()) - 1
    return write_all(out, {f"{lesson} qti.zip": made})[0], items, left


def _items(lesson: str, count: int) -> Iterator[tuple[str, bytes]]:
    for one in numeric(lesson):
        for number, variant in enumerate(fixed_variants(one, count), start=1):
            name = f"{lesson}-{one.id.replace('.', '-')}-v{one.version}-{number}"
            yield f"{name}.xml", item_of(variant, name)


def _manifest(lesson: str, items: Sequence[str]) -> bytes:
    root = _root("manifest", PACKAGE, PACKED, identifier=f"pullwright-{lesson}")
    metadata = _add(root, "metadata")
    _add(metadata, "schema").text = "QTIv2.1 Package"
    _add(metadata, "schemaversion").text = "1.0.0"
    _add(root, "organizations")
    resources = _add(root, "resources")
    for name in items:
        about = {"identifier": f"R-{name[:-4]}", "type": KIND, "href": name}
        _add(_add(resources, "resource", about), "file", {"href": name})
    return _written(root)


# ----------------------------------------------------------------------------- XML


def _root(tag: str, space: str, location: str, **about: str) -> Xml.Element:
    seen = {"xmlns": space, "xmlns:xsi": SCHEMA, "xsi:schemaLocation": location}
    return Xml.Element(tag, {**seen, **about})


def _add(
    parent: Xml.Element, tag: str, about: dict[str, str] | None = None
) -> Xml.Element:
    return Xml.SubElement(parent, tag, about or {})


def _written(root: Xml.Element) -> bytes:
    return bytes(Xml.tostring(root, encoding="utf-8", xml_declaration=True))
