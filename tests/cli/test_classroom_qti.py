"""Packages for learning platforms, read as their published structure has it.

The order of an item's parts, the attributes that must be there and what may stand in
them are those of ``imsqti_v2p1.xsd``; those of a manifest are of its own profile of
Content Packaging, ``qtiv2p1_imscpv1p2_v1p0.xsd``. Both were read; their files are not
here, since their licence asks whoever packs them first to register.
"""

import re
import zipfile
from xml.etree import ElementTree

import numpy as np
import pytest

from workbook.classroom.qti import (
    ITEM,
    KIND,
    PACKAGE,
    bands_of,
    fixed_variants,
    item_of,
    numeric,
)
from workbook.classroom.sheets import printed_lessons
from workbook.cli import main
from workbook.exercises import exercise
from workbook.exercises.marking import mark

pytestmark = pytest.mark.usefixtures("own_settings")
PARTS = [
    "responseDeclaration", "outcomeDeclaration", "templateDeclaration",
    "templateProcessing", "stylesheet", "itemBody", "responseProcessing",
    "modalFeedback",
]  # fmt: skip
NEEDED = {
    "assessmentItem": {"identifier", "title", "adaptive", "timeDependent"},
    "responseDeclaration": {"identifier", "cardinality"},
    "outcomeDeclaration": {"identifier", "cardinality"},
    "modalFeedback": {"outcomeIdentifier", "showHide", "identifier"},
    "textEntryInteraction": {"responseIdentifier"},
    "setOutcomeValue": {"identifier"},
    "variable": {"identifier"},
    "baseValue": {"baseType"},
}
ALLOWED = {  # attributes besides, and what each may hold
    "identifier": r"[A-Za-z_][\w.-]*", "outcomeIdentifier": r"[A-Za-z_][\w.-]*",
    "responseIdentifier": r"[A-Za-z_][\w.-]*", "title": r"\S.*\S",
    "adaptive": "true|false", "timeDependent": "true|false",
    "cardinality": "single", "baseType": "float|identifier", "showHide": "show|hide",
    "{http://www.w3.org/XML/1998/namespace}lang": "en",
    "{http://www.w3.org/2001/XMLSchema-instance}schemaLocation": r"(\S+ \S+)",
}  # fmt: skip
WORDS = {"p": r"(?s)\S.*", "value": r"-?[\d.]+(e[+-]\d+)?"}
RULE = {"and", "setOutcomeValue"}
INSIDE = {
    "responseDeclaration": {"correctResponse"},
    "correctResponse": {"value"},
    "outcomeDeclaration": {"defaultValue"},
    "defaultValue": {"value"},
    "itemBody": {"p"},
    "p": {"textEntryInteraction"},
    "responseProcessing": {"responseCondition"},
    "responseCondition": {"responseIf", "responseElseIf", "responseElse"},
    "responseIf": RULE,
    "responseElseIf": RULE,
    "responseElse": {"setOutcomeValue"},
    "and": {"gte", "lte"},
    "gte": {"variable", "baseValue"},
    "lte": {"variable", "baseValue"},
    "setOutcomeValue": {"baseValue"},
    "modalFeedback": {"p"},
    "assessmentItem": {*PARTS},
}


def local(element):
    space, _, tag = element.tag.rpartition("}")
    assert space == "{" + ITEM
    return tag


def decided(item, answer):
    """Evaluate an item's rules for an answer: what it is called and earns."""
    find = f"{{{ITEM}}}"
    for rule in item.find(f"{find}responseProcessing/{find}responseCondition"):
        bounds = {
            name: float(rule.find(f"{find}and/{find}{name}/{find}baseValue").text)
            for name in ("gte", "lte")
            if rule.find(f"{find}and") is not None
        }
        if not bounds or bounds["gte"] <= answer <= bounds["lte"]:
            score, name = rule.findall(f"{find}setOutcomeValue/{find}baseValue")
            return name.text, float(score.text)
    raise AssertionError


def test_items_stand_in_the_order_and_with_the_parts_of_the_schema():
    for lesson in printed_lessons():
        for one in numeric(lesson):
            (variant,) = fixed_variants(one, 1)
            item = ElementTree.fromstring(item_of(variant, "a"))
            parts = [PARTS.index(local(part)) for part in item]
            assert parts == sorted(parts)
            for element in item.iter():
                tag = local(element)
                assert NEEDED.get(tag, set()) <= {*element.attrib}
                for name, held in element.attrib.items():
                    assert re.fullmatch(ALLOWED[name], held)
                assert re.fullmatch(WORDS.get(tag, ".*"), element.text or "")
                assert {local(part) for part in element} <= INSIDE.get(tag, set())
            found = [x.get("identifier") for x in item if local(x) == "modalFeedback"]
            names = {band.name for band in bands_of(variant)} | {"none_of_these"}
            assert {*found} == names
            assert len(found) == len(names)


@pytest.mark.parametrize("id", ["2.1", "7.2", "8.4", "4.6", "14.3"])
def test_an_item_decides_as_the_checker_does(id):
    chance = np.random.default_rng(3)
    for variant in fixed_variants(exercise(id), 3):
        item = ElementTree.fromstring(item_of(variant, "a"))
        bands = bands_of(variant)
        ends = [x for band in bands for x in (band.low, band.high)]
        near = np.multiply.outer(ends, [0.999, 1.001]).ravel()
        centres = [(band.low + band.high) / 2 for band in bands]
        answers = [*near, *centres, *chance.uniform(0, 2 * max(centres), 20)]
        if id == "4.6":
            answers = range(12)
        unit = "" if id == "4.6" else f" {variant.quantity.unit}"
        for answer in answers:
            outcome = mark(variant, f"{answer:.9f}{unit}" if unit else f"{answer}")
            name, score = decided(item, answer)
            if "." in name:  # both are said
                assert outcome.name == "two_fit"
                assert name.split(".") == [*outcome.choices[:-1]]
                assert score == outcome.score
            elif not outcome.held:
                assert (name, score) == (outcome.name, outcome.score)
    assert any("." in band.name for band in bands) == (id == "14.3")


def test_a_package_has_a_manifest_of_all_its_items_and_is_the_same_again(
    tmp_path, capsys
):
    order = ["qti", "L08", "--variants", "3", "-o"]
    assert main([*order, str(tmp_path / "a")]) == 0
    assert main([*order, str(tmp_path / "b")]) == 0

    packed = tmp_path / "a" / "L08 qti.zip"
    assert packed.read_bytes() == (tmp_path / "b" / "L08 qti.zip").read_bytes()
    with zipfile.ZipFile(packed) as archive:
        names = archive.namelist()
        manifest = ElementTree.fromstring(archive.read("imsmanifest.xml"))
        items = [ElementTree.fromstring(archive.read(name)) for name in names[1:]]
    assert [x.tag for x in manifest] == [
        f"{{{PACKAGE}}}{part}" for part in ("metadata", "organizations", "resources")
    ]
    about = [(x.tag.partition("}")[2], x.text) for x in manifest[0]]
    assert about == [("schema", "QTIv2.1 Package"), ("schemaversion", "1.0.0")]
    ids = [x.get("identifier") for x in (manifest, *manifest[2])]
    assert len({*ids}) == len(ids)
    resources = [*manifest[2]]
    assert [x.get("href") for x in resources] == names[1:]
    assert [x[0].get("href") for x in resources] == names[1:]
    assert {x.get("type") for x in resources} == {KIND}
    assert len({x.get("identifier") for x in items}) == len(items) == 3 * 6
    assert f"{len(items)} items" in capsys.readouterr().out
    assert main(["qti", "L99", "-o", str(tmp_path)]) == 1
    assert main(["qti", "L08", "--variants", "0", "-o", str(tmp_path)]) == 1
    assert main(["qti", "L14", "-o", str(tmp_path)]) == 0
    said = capsys.readouterr()
    assert "Not packed: 14.5a, 14.5b. Each asks" in said.out
    err = said.err
    assert "--variants must be a whole number from 1 to 20" in err
