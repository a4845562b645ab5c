"""Lesson 10: what each mistake gives, worked out by hand."""

PATH = {
    "chain_rating": 40,
    "clamp_rating": 70,
    "slot_rating": 36,
    "pull_ratio": 1.25,
    "anchor_ratio": 0.75,
    "bore": 40,
    "margin": 0.5,
}

BY_HAND = {
    ("10.1", 1): (
        {"pressure": 300, "bore": 40},
        [
            # π × 40 × 40 = 5026.5 mm², and 300 × 5026.5 ÷ 10000.
            ("M23_diameter_as_radius", 150.80),
            ("way_round_for_area", 3.770),  # π × 40 = 125.66
            ("slip_bar_for_mpa", 376.99),  # 300 × 1256.6 ÷ 1000
        ],
    ),
    ("10.2", 1): (
        {"ram_force": 37.7, "bore": 40},
        [
            ("M23_diameter_as_radius", 75.0),  # 37700 ÷ 5026.5 = 7.5 N/mm²
            ("way_round_for_area", 3000.1),  # 37700 ÷ 125.66 = 300.01 N/mm²
        ],
    ),
    ("10.3", 1): (
        {"pressure": 300, "bore": 40, "ratio": 1.2},
        [
            ("M12_gauge_is_chain", 37.699),  # 300 × 1256.6 ÷ 10000
            ("M23_diameter_as_radius", 180.96),  # 150.80 × 1.2
            ("ratio_upside_down", 31.416),  # 37.699 ÷ 1.2
            ("slip_bar_for_mpa", 452.39),  # 376.99 × 1.2
        ],
    ),
    ("10.4", 1): (
        PATH,
        [
            ("M20_lowest_stamp", 36.0),
            ("M20_lowest_stamp", 48.0),  # 36 ÷ 0.75; the chain has 40 ÷ 1.25 = 32
            ("last_part", 56.0),  # 70 ÷ 1.25
            ("slip_mult_div", 27.0),  # 36 × 0.75
        ],
    ),
    ("10.5", 1): (
        {"tension": 24, "angle": 30},
        [
            ("M01_whole_tension", 24.0),
            ("M02_sin_cos", 20.785),  # 24 × 0.8660
            ("M04_in_step_with_angle", 8.0),  # 24 × 30/90
            ("slip_radians", -23.713),  # sin of 30 radians is −0.9880
        ],
    ),
    ("10.6", 1): (
        PATH,
        [
            # The chain limits the ram to 32 kN, 32000 ÷ 1256.6 = 25.465 N/mm².
            ("margin_forgotten", 254.65),
            ("margin_turned_over", 509.30),  # 254.65 ÷ 0.5
            ("M23_diameter_as_radius", 31.831),  # half of 254.65, over four
        ],
    ),
}
MADE = {
    ("10.7", 1): {
        # Upright, 300 rise in 1200 and 750 fall in 900: 14.04° and 39.81°. The pull leg
        # carries 0.7682 ÷ 0.8075 = 0.9513 of 21: 19.98, where 21 are wanted.
        "M12_gauge_is_chain": ({"margin": 90}, "ram_force 21 kN"),
        # Leaning 10° back, the head is 738.6 up and 130.2 in: 288.6 in 1069.8 and 738.6
        # in 1030.2, 15.1° and 35.64°. Of 15 the pull leg has 0.6993 ÷ 0.7743, 13.5.
        "leaned_back": ({}, "lean -10 deg"),
        # The anchor leg carries sin 75.96° ÷ sin 53.85° = 1.2014 of 24: 28.8 of 30.9.
        "past_the_margin": ({}, "ram_force 24 kN"),
        # The base of the ram swivels to 45°.
        "does_not_stand": ({}, "lean 60 deg"),
    },
}
