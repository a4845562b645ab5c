"""Point files: what is read, what is refused, and that both say so plainly."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workbook.errors import FormError
from workbook.scenes.points import (
    PointList,
    format_points,
    match_points,
    parse_points,
    read_points,
    write_points,
)

GOOD = "id,length,width,height,limit\nLF1,1800,450,402.5,3\nRF1,1800,-450,402.5,2\n"


def _expect_good(points):
    assert points.ids == ("LF1", "RF1")
    expected = [[1.8, 0.45, 0.4025], [1.8, -0.45, 0.4025]]
    assert points.positions.tolist() == expected
    assert points.limits.tolist() == [0.003, 0.002]


@pytest.mark.parametrize(
    "text",
    [
        GOOD,
        GOOD.replace("\n", "\r\n"),
        GOOD.replace(",", ";"),
        GOOD.replace(",", ";").replace(".", ","),
        "\ufeff" + GOOD,
        "# invented data\n\n" + GOOD.replace("LF1", ' "LF1"'),
        GOOD.replace("-450", "−450").replace("id,length", "ID, Length"),
        GOOD.replace("\n", ",,\n").replace("limit,,", "limit"),
        "limit,height,id,width,length\n3,402.5,LF1,450,1800\n2,402.5,RF1,-450,1800",
    ],
)
def test_the_same_points_are_read_from_every_allowed_form(text):
    points = parse_points(text)

    _expect_good(points)


def test_a_file_without_limits_has_none():
    points = parse_points("id,length,width,height\nA,0,0,0\n")

    assert points.limits is None
    assert points.positions.shape == (1, 3)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (("id,length", "name,length"), "line 1: no column id; the first line"),
        (("id,length,width", "id,length,length"), "line 1: no column width"),
        ((",limit", ",colour"), "line 1: column 'colour' is unknown or named twice"),
        ((",limit", ",width"), "line 1: column 'width' is unknown or named twice"),
        (("1800,450", "abc,450"), "line 2, column length: 'abc' is not a number in mm"),
        (("1800,450", "nan,450"), "line 2, column length: 'nan' is not a number"),
        (("1800,450", "1e3,450"), "line 2, column length: '1e3' is not a number"),
        (("1800,450", "1_800,450"), "line 2, column length: '1_800' is not a number"),
        (("-450", "-45000"), "line 3, column width: -45000 mm is farther than 20000"),
        (("1800,450", ",450"), "line 2, column length: nothing there"),
        (("402.5,3", "402.5"), "line 2, column limit: nothing there"),
        (("402.5,3", "402.5,0"), "line 2, column limit: 0 mm must be more than 0"),
        (("402.5,3", "402.5,-3"), "line 2, column limit: -3 mm must be more than 0"),
        (("402.5,3", "402.5,300"), "line 2, column limit: 300 mm .* at most 100"),
        (("402.5,3", "402,5,3"), "line 2: 6 columns, .* decimal comma need semicolons"),
        (("402.5,3", '"402,5",3'), "line 2, column height: '402,5' is not a number"),
        (("RF1", "LF1"), "line 3, column id: 'LF1' stands already at .* line 2"),
        (("RF1", '"RF1'), "line 3: this is not a line of CSV; check the quotation"),
        (("RF1", "R" * 50), "line 3, column id: .* is not a short name"),
        (("RF1", '"R\nF"'), "column id: .* is not a short name"),
        (("RF1", "R\0"), "is not a text file"),
    ],
)
def test_a_bad_row_is_named_by_line_and_column(change, sentence):
    assert GOOD.count(change[0]) >= 1

    with pytest.raises(FormError, match=sentence):
        parse_points(GOOD.replace(change[0], change[1], 1))


def test_decimal_comma_and_decimal_point_are_not_mixed():
    # 1.800,5 or 1.800 could mean thousands, so a point is refused beside commas.
    text = "id;length;width;height\nA;1800,5;0;0\nB;1.800;0;0\n"

    with pytest.raises(FormError, match=r"line 3, column length: '1\.800' is not a"):
        parse_points(text)


@pytest.mark.parametrize("text", ["", "\n\n", "# only a remark\n"])
def test_an_empty_file_is_told_what_it_needs(text):
    with pytest.raises(FormError, match="is empty; it needs a first line id,length"):
        parse_points(text)


def test_a_first_line_alone_is_no_list_of_points():
    with pytest.raises(FormError, match="no points; add one line a point"):
        parse_points("id,length,width,height\n")


@pytest.mark.parametrize(
    ("raw", "sentence"),
    [
        (b"\x89PNG\r\n\x1a\n\x00\x00", "not text in UTF-8"),
        (GOOD.encode("utf-16"), "not text in UTF-8"),
        ("id,length,width,height\nVorn,1,2,3\nTür,1,2,3\n".encode("cp1252"), "UTF-8"),
        (b"PK\x03\x04\x00\x00\x00", "is not a text file"),
        (b"#" * 1_000_001, "larger than 1000 kB"),
    ],
)
def test_a_file_that_is_no_text_is_refused_in_words(tmp_path, raw, sentence):
    path = tmp_path / "points.csv"
    path.write_bytes(raw)

    with pytest.raises(FormError, match=f"points.csv .*{sentence}"):
        read_points(path)


def test_a_file_that_is_not_there_or_is_a_folder_is_refused_in_words(tmp_path):
    with pytest.raises(FormError, match=r"none.csv cannot be read \(No such file"):
        read_points(tmp_path / "none.csv")
    with pytest.raises(FormError, match="cannot be read"):
        read_points(tmp_path)
    points = parse_points(GOOD)
    with pytest.raises(FormError, match="cannot be written"):
        write_points(tmp_path, points)


def test_a_written_file_reads_back_as_it_was(tmp_path):
    path = tmp_path / "points.csv"

    write_points(path, parse_points(GOOD))

    _expect_good(read_points(path))


@pytest.mark.parametrize(
    ("points", "sentence"),
    [
        (PointList(ids=("A",), positions=np.array([[np.nan, 0, 0]])), "not a number"),
        (PointList(ids=("A", "A"), positions=np.zeros((2, 3))), "stands already"),
        (PointList(ids=("#A", "B"), positions=np.zeros((2, 3))), "starts with #"),
        (PointList(ids=("A ",), positions=np.zeros((1, 3))), "ends in a space"),
    ],
)
def test_nothing_is_written_that_would_not_read_back(points, sentence):
    with pytest.raises(FormError, match=sentence):
        format_points(points)


def test_lists_are_matched_by_id_and_the_missing_are_named():
    specified = parse_points(GOOD + "LR1,0,500,200,4\n")
    measured = parse_points("id,length,width,height\nX,0,0,0\nLR1,1,2,3\nLF1,4,5,6\n")

    pairs = match_points(measured, specified=specified)

    assert pairs.ids == ("LF1", "LR1")
    assert pairs.measured.tolist() == [[0.004, 0.005, 0.006], [0.001, 0.002, 0.003]]
    assert pairs.specified[:, 0].tolist() == [1.8, 0.0]
    assert pairs.limits.tolist() == [0.003, 0.004]
    assert pairs.only_measured == ("X",)
    assert pairs.only_specified == ("RF1",)


def test_lists_with_no_point_in_common_are_refused_by_name():
    other = parse_points("id,length,width,height\nlf1,0,0,0\n")

    with pytest.raises(FormError, match="measured has lf1, specified has LF1, RF1"):
        match_points(other, specified=parse_points(GOOD))


@settings(max_examples=150, deadline=None)
@given(
    st.text(alphabet='iIdD,;"\n\r#-.0159 lengthwidthheight\ufeff\0é', max_size=60),
    st.sampled_from(["", "id,length,width,height\n", "id;length;width;height\n"]),
)
def test_any_text_gives_finite_points_or_one_sentence(text, header):
    try:
        points = parse_points(header + text)
    except FormError as refusal:
        told = str(refusal)
    else:
        told = "read\n" if not np.isfinite(points.positions).all() else "read"

    assert told
    assert "\n" not in told


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(*[st.integers(-20_000_000, 20_000_000)] * 3), min_size=1, max_size=8
    )
)
def test_every_micrometre_survives_writing_and_reading(micrometres):
    positions = np.array(micrometres) / 1e6
    ids = tuple(f"P{i}" for i in range(len(positions)))

    back = parse_points(format_points(PointList(ids=ids, positions=positions)))

    assert back.ids == ids
    assert back.positions == pytest.approx(positions, abs=1e-12)
