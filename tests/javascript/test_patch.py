"""New markup put in the place of old: what is the same stays, and nothing is missed."""

import pytest

MODULE = "widgets/patch.js"
MARKS = "<g class=a><path d='M0 1'></path><text x='3'>one</text></g>"
OLD = f"<svg role='img' width='5'>{MARKS}<circle r='2'></circle></svg>"
PATCH = """([old, fresh]) => {
    document.body.innerHTML = "<div id=place></div>";
    const place = document.getElementById("place");
    place.innerHTML = old;
    const there = [...place.querySelectorAll("*")];
    parts.patch(place, fresh);
    const made = document.createElement("div");
    made.innerHTML = fresh;
    return {
        same: place.innerHTML === made.innerHTML,
        space: place.querySelector("*")?.namespaceURI,
        stayed: there.filter((node) => place.contains(node)).map((n) => n.localName),
    };
}"""


@pytest.mark.parametrize(
    ("fresh", "stayed"),
    [
        (OLD, "svg g path text circle"),
        (OLD.replace("M0 1", "M0 2"), "svg g path text circle"),
        (OLD.replace("one", "two &amp; 3"), "svg g path text circle"),
        (OLD.replace(" width='5'", ""), "svg g path text circle"),
        (OLD.replace("class=a", "id='b'"), "svg g path text circle"),
        (OLD.replace("<circle r='2'></circle>", "<line></line>"), "svg g path text"),
        (OLD.replace("<circle r='2'></circle>", ""), "svg g path text"),
        (OLD.replace("</svg>", "<rect></rect></svg>"), "svg g path text circle"),
        (OLD.replace("<path d='M0 1'></path>", ""), "svg g circle"),
        (OLD.replace("<g", "only words<g"), "svg"),
        ("", ""),
        ("words <b>3</b>", ""),
    ],
)
def test_what_is_the_same_stays(page, fresh, stayed):
    found = page.evaluate(PATCH, [OLD, fresh])

    assert found["same"]
    assert found["stayed"] == stayed.split()
    if stayed:
        assert found["space"] == "http://www.w3.org/2000/svg"


def test_a_place_that_was_empty_is_filled(page):
    found = page.evaluate(PATCH, ["", OLD])

    assert found["same"]
    assert found["stayed"] == []
