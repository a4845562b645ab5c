"""The load path: which part governs, and how far the ram may go."""

from dataclasses import dataclass, replace

import numpy as np
import pytest

from workbook.equipment import PLACES, chain, load_path, pick, rope, shop
from workbook.errors import OutOfRangeError

RAM = pick(shop().rams, "ram 42")


@dataclass(frozen=True, kw_only=True)
class Tagged:
    """A part known only by its tag."""

    rating: float | None
    name: str = "tagged part"
    kind: str = "invented"
    basis: str = "invented"


# Ratings of the worked example: chain 40 kN, clamp 50 kN, anchor 30 kN. The ram and
# its head are strong enough not to matter.
EXAMPLE = {
    "ram": replace(RAM, rated_force=1e6),
    "head": Tagged(rating=1e6),
    "pull_chain": Tagged(rating=40e3),
    "clamp": Tagged(rating=50e3),
    "anchor_chain": Tagged(rating=1e6),
    "fork": Tagged(rating=30e3),
}


def locked_legs(ram_force, *, lean, anchor, pull):
    # Balance at the head, all angles in degrees from the floor.
    phi, alpha, beta = np.radians(lean), np.radians(anchor), np.radians(pull)
    both = np.sin(alpha + beta)
    return {
        "ram_force": ram_force,
        "pull_tension": ram_force * np.sin(phi + alpha) / both,
        "anchor_tension": ram_force * np.sin(phi - beta) / both,
    }


def test_the_chain_governs_though_the_anchor_has_the_lowest_rating():
    # Worked by hand for this course: lean 55, anchor leg 45, pull leg 20 degrees from
    # the floor give 1.087 and 0.633 per newton of ram. 350 bar on a 42 mm bore is
    # 48.5 kN; chain 40/1.087 = 36.8 kN, clamp 46.0, anchor 47.4, so 36.8 kN and
    # 266 bar. Three figures.
    ram_force = RAM.force_at(350e5)
    legs = locked_legs(ram_force, lean=55, anchor=45, pull=20)

    path = load_path(**legs, **EXAMPLE)

    assert ram_force == pytest.approx(48.5e3, rel=1e-3)
    assert path.governing == "pull leg"
    assert path.highest_ram_force == pytest.approx(36.8e3, rel=1e-3)
    assert path.highest_pressure == pytest.approx(266e5, rel=2e-3)
    each = {part.place: ram_force / part.share for part in path.parts}
    assert each["clamp"] == pytest.approx(46.0e3, rel=1e-3)
    assert each["fork slot"] == pytest.approx(47.4e3, rel=1e-3)


def test_another_lean_brings_another_part_to_its_limit_first():
    # Lean 65, anchor leg 50, pull leg 14 degrees: 1.01 and 0.866 per newton. Ratings
    # chain 40, clamp 45, anchor 32 kN: the anchor governs at 32/0.866 = 37.0 kN, the
    # chain would come at 39.7. Three figures.
    legs = locked_legs(1e3, lean=65, anchor=50, pull=14)
    parts = {**EXAMPLE, "clamp": Tagged(rating=45e3), "fork": Tagged(rating=32e3)}

    path = load_path(**legs, **parts)

    assert path.governing == "fork slot"
    assert path.highest_ram_force == pytest.approx(37.0e3, rel=2e-3)
    assert 1e3 / path.parts[2].share == pytest.approx(39.7e3, rel=2e-3)


def test_the_part_with_the_lowest_rating_does_not_always_govern():
    # A leg that is nearly slack asks little of the weakest part.
    rng = np.random.default_rng(10)
    ratings = rng.uniform(20e3, 80e3, size=(200, 6))
    factors = rng.uniform(0.3, 1.8, size=(200, 2))
    lowest_governs = []
    for rating, (pull, anchor) in zip(ratings, factors, strict=True):
        ram_rating, *others = rating
        names = ("head", "pull_chain", "clamp", "anchor_chain", "fork")
        parts = {n: Tagged(rating=r) for n, r in zip(names, others, strict=True)}

        path = load_path(
            ram_force=1.0,
            pull_tension=pull,
            anchor_tension=anchor,
            ram=replace(RAM, rated_force=ram_rating),
            **parts,
        )

        weakest = PLACES[np.argmin(rating)]
        lowest_governs.append(path.governing == weakest)
        # At the highest ram force one part is at its rating and none beyond.
        at_limit = [path.highest_ram_force * part.share for part in path.parts]
        assert max(at_limit) == pytest.approx(1, rel=1e-12)
    assert 0 < sum(lowest_governs) < 200


def test_every_part_carries_its_own_load_in_the_order_of_the_path():
    path = load_path(ram_force=3e3, pull_tension=5e3, anchor_tension=2e3, **EXAMPLE)

    assert [part.place for part in path.parts] == list(PLACES)
    assert [part.load for part in path.parts] == [3e3, 3e3, 5e3, 5e3, 2e3, 2e3]
    for part in path.parts:
        assert part.share == pytest.approx(part.load / part.rating)


def test_doubling_the_push_doubles_every_share_and_moves_no_limit():
    legs = locked_legs(10e3, lean=55, anchor=45, pull=20)
    doubled = {name: 2 * force for name, force in legs.items()}

    once = load_path(**legs, **EXAMPLE)
    twice = load_path(**doubled, **EXAMPLE)

    for one, two in zip(once.parts, twice.parts, strict=True):
        assert two.share == pytest.approx(2 * one.share, rel=1e-12)
    assert twice.highest_ram_force == pytest.approx(once.highest_ram_force, rel=1e-12)
    assert twice.highest_pressure == pytest.approx(once.highest_pressure, rel=1e-12)


def test_many_leans_at_once_equal_each_lean_alone():
    leans = np.array([[50.0, 60.0, 70.0], [75.0, 80.0, 85.0]])
    together = load_path(**locked_legs(1e3, lean=leans, anchor=50, pull=14), **EXAMPLE)

    for index, lean in np.ndenumerate(leans):
        alone = load_path(**locked_legs(1e3, lean=lean, anchor=50, pull=14), **EXAMPLE)

        assert together.governing[index] == alone.governing
        assert together.highest_pressure[index] == pytest.approx(alone.highest_pressure)
    # Leaning far the chain governs, upright the anchor.
    assert set(together.governing.flat) == {"pull leg", "fork slot"}


def test_a_load_path_uses_the_working_load_limit_and_never_the_breaking_force():
    leg = chain(standard="EN 818-2", grade="8", size_mm=8)
    legs = locked_legs(10e3, lean=55, anchor=45, pull=20)
    unbreakable = replace(leg, breaking_force=1e9, proof_force=1e9)

    path = load_path(**legs, **{**EXAMPLE, "pull_chain": leg})
    same = load_path(**legs, **{**EXAMPLE, "pull_chain": unbreakable})

    # EN 818-2: 8 mm carries 2 t, a quarter of the 80.4 kN that break it.
    assert path.parts[2].rating == pytest.approx(2 * 9806.65)
    assert same.parts[2].share == path.parts[2].share


def test_each_part_says_where_its_rating_comes_from():
    leg = chain(standard="EN 818-2", grade="8", size_mm=10)

    path = load_path(
        ram_force=1e3,
        pull_tension=1e3,
        anchor_tension=1e3,
        ram=RAM,
        head=shop().heads[0],
        pull_chain=leg,
        clamp=shop().clamps[0],
        anchor_chain=leg,
        fork=shop().forks[0],
    )

    assert [part.kind for part in path.parts] == [
        "invented", "invented", "standard", "invented", "standard", "invented",
    ]  # fmt: skip
    assert path.has_invented_rating


def test_a_path_of_standard_ratings_alone_says_so():
    standard = Tagged(rating=40e3, kind="standard")
    parts = dict.fromkeys(EXAMPLE, standard) | {"ram": replace(RAM, kind="standard")}

    path = load_path(ram_force=1e3, pull_tension=1e3, anchor_tension=1e3, **parts)

    assert not path.has_invented_rating


@pytest.mark.parametrize("rating", [None, 0.0, -1.0, np.nan, np.inf])
def test_a_part_without_a_rating_is_refused(rating):
    parts = {**EXAMPLE, "clamp": Tagged(rating=rating, name="worn clamp")}

    with pytest.raises(OutOfRangeError, match=r"clamp: worn clamp .*no tag, no use"):
        load_path(ram_force=1e3, pull_tension=1e3, anchor_tension=1e3, **parts)


def test_a_rope_known_only_by_what_breaks_it_is_refused():
    strong = rope(rope_class="6x19 IPS fibre core", size="3/8 in")
    parts = {**EXAMPLE, "pull_chain": strong}

    with pytest.raises(OutOfRangeError, match="pull leg: 3/8 in wire rope, 6x19"):
        load_path(ram_force=1e3, pull_tension=1e3, anchor_tension=1e3, **parts)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"ram_force": 0.0}, "ram force 0 N must be more than zero"),
        ({"ram_force": -5.0}, "ram force -5 N must be more than zero"),
        ({"pull_tension": -2.0}, "pull tension -2 N .* can only pull"),
        ({"anchor_tension": [1.0, -3.0]}, "anchor tension -3 N .* can only pull"),
        ({"anchor_tension": np.nan}, "anchor tension .*must be a finite number"),
    ],
)
def test_forces_no_chain_or_ram_can_have_are_refused(wrong, said):
    forces = {"ram_force": 1e3, "pull_tension": 1e3, "anchor_tension": 1e3, **wrong}

    with pytest.raises(OutOfRangeError, match=said):
        load_path(**forces, **EXAMPLE)


def test_a_slack_anchor_leg_uses_nothing_of_its_parts():
    path = load_path(ram_force=1e3, pull_tension=1e3, anchor_tension=0.0, **EXAMPLE)

    assert path.parts[4].share == 0
    assert path.parts[5].share == 0
