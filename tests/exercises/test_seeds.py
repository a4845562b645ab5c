"""Seeds: the same numbers for one student everywhere, other numbers for others."""

import pytest

from workbook.errors import FormError
from workbook.exercises import exercise, exercises_of
from workbook.exercises.engine import variant_for
from workbook.exercises.replay import seed_of
from workbook.exercises.seeds import Stream, seed_for
from workbook.exercises.sets import SETS

GIVEN = {
    "class_key": "oak",
    "student": "K7",
    "exercise": "2.1",
    "version": 1,
    "attempt": 1,
}


def test_seed_is_the_hash_that_openssl_gives():
    # printf '2:k73:2.11:11:1' | openssl dgst -sha256 -hmac oak
    assert (
        seed_for(**GIVEN).hex()
        == "904292372977e9de81e34e9fe0c90ced7bf248a6a2edbe6533e11c4ef59567f4"
    )


def test_stream_is_the_hash_of_the_seed_and_a_counter():
    # printf 'seed\0\0\0\0\0\0\0\0' | openssl dgst -sha256
    assert Stream(b"seed").below(2**256) == int(
        "1a30d3c0635d49b5a0171067701f1cac41ceaa184e3d080e36335b3eb48db685", 16
    )


@pytest.mark.parametrize(
    ("id", "numbers"),
    [
        ("2.1", {"tension": 18.0, "angle": 24.0}),
        (
            "7.2",
            {
                "ram_force": 29.0,
                "ram_angle": 56.0,
                "anchor_angle": 59.0,
                "pull_angle": 25.0,
            },
        ),
        (
            "8.2",
            {
                "offset": 40.0,
                "fork": 800.0,
                "clamp_height": 660.0,
                "clamp_distance": 1750.0,
                "head_out": -40.0,
                "head_up": 1090.0,
                "shift": 143.0,
            },
        ),
        ("9.2", {"weight": 31.0, "span": 2.9, "tension": 1.9}),
        ("9.6", {"times": 3.0}),
    ],
)
def test_unchanged_numbers_of_one_student(id, numbers):
    variant = variant_for(exercise(id, 1), class_key="oak", student="K7")

    assert variant.numbers == numbers


@pytest.mark.parametrize(
    "other",
    [
        {"class_key": "elm"},
        {"student": "K8"},
        {"exercise": "2.2"},
        {"version": 2},
        {"attempt": 2},
        *({"set": set} for set in SETS),
    ],
)
def test_every_part_of_the_seed_counts(other):
    assert seed_for(**{**GIVEN, **other}) != seed_for(**GIVEN)


def test_case_and_blanks_round_a_code_do_not_count():
    alike = seed_for(**{**GIVEN, "class_key": " OAK", "student": "k7 "})

    assert alike == seed_for(**GIVEN)


def test_parts_of_a_seed_cannot_run_into_each_other():
    one = seed_for(**{**GIVEN, "student": "K", "exercise": "72.1"})

    assert one != seed_for(**{**GIVEN, "student": "K7", "exercise": "2.1"})


def test_another_student_gets_other_numbers():
    for lesson in (
        "L01",
        "L02",
        "L03",
        "L04",
        "L05",
        "L06",
        "L07",
        "L08",
        "L09",
        "L10",
        "L11",
        "L12",
        "L13",
        "L14",
        "L15",
        "L16",
    ):
        sheets = [
            [
                variant_for(e, class_key="oak", student=student).numbers
                for e in exercises_of(lesson)
            ]
            for student in ("K7", "K8", "K9")
        ]

        assert sheets[0] != sheets[1] != sheets[2] != sheets[0]


def test_a_new_attempt_brings_new_numbers():
    one = exercise("2.1")

    sheets = [
        variant_for(one, class_key="oak", student="K7", attempt=n).numbers
        for n in (1, 2, 3)
    ]

    assert sheets[0] != sheets[1] != sheets[2]


def test_every_value_of_a_stream_turns_up_about_as_often():
    stream = Stream(b"even")
    counts = [0] * 10
    for _ in range(2000):
        counts[stream.below(10)] += 1

    # Chi-square with 9 degrees of freedom stays under 27.9 in 999 of 1000 cases.
    assert sum((c - 200) ** 2 / 200 for c in counts) < 27.9


@pytest.mark.parametrize(("id", "version"), [("2.1", 99), ("99.9", None)])
def test_an_unknown_exercise_or_version_is_refused_by_name(id, version):
    with pytest.raises(FormError, match=id):
        exercise(id, version)


def test_a_set_has_the_seed_of_its_name_behind_the_other_parts():
    # printf '2:k73:2.11:11:14:exit' | openssl dgst -sha256 -hmac oak
    assert seed_for(**GIVEN, set="exit").hex() == (
        "a33a98ec8d368e0f7e0c22a382d87ebdb211e69c842f7848ea48ffc46f414f34"
    )
    assert len({seed_for(**GIVEN, set=set) for set in SETS}) == 5


def test_a_question_that_goes_on_from_another_is_drawn_from_the_same_seed():
    whose = {"class_key": "oak", "student": "K7", "set": "exit"}

    first, second = (seed_of(exercise(id), **whose) for id in ("7.6a", "7.6b"))

    assert first == second == seed_for(exercise="7.6a", version=1, attempt=1, **whose)
