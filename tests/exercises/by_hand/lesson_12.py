"""Lesson 12: what each mistake gives, worked out by hand."""

BY_HAND = {
    ("12.1", 1): (
        {"pressure": 200, "bore": 42, "other": 30, "rams": 3},
        [
            ("M22_pressure_shared", 9.236),  # 27.709 ÷ 3
            ("M23_diameter_as_radius", 110.84),  # 4 × 27.709
            ("all_rams_added", 55.98),  # 27.709 + 2 × 14.137
            ("slip_bar_for_mpa", 277.09),
        ],
    ),
    ("12.2", 1): (
        {"first": 10, "first_angle": 21, "second": 33, "second_angle": 40},
        [
            ("M05_plain_sum", 43.0),
            ("M02_sin_cos", 24.796),  # 3.584 + 21.212
            ("larger_pull_only", 25.279),  # 33 × 0.76604
            ("slip_radians", -27.486),  # 10 × −0.54773 + 33 × −0.66694
        ],
    ),
    ("12.3", 1): (
        {"bore": 40, "stroke": 100, "flow": 1.0, "rams": 3},
        [
            ("flow_not_shared", 7.540),  # 125.66 cm³ ÷ 16.667
            ("M23_diameter_as_radius", 90.48),  # 4 × 22.62
            ("slip_minutes_for_seconds", 0.37699),  # 377 cm³ over a litre
        ],
    ),
    ("12.5", 1): (
        {"air": 7, "ratio": 60, "rams": 3},
        [("M22_pressure_shared", 140.0), ("ratio_left_out", 7.0)],
    ),
    ("12.6", 1): (
        {"first": 10, "first_angle": 21, "second": 33, "second_angle": 40},
        [
            ("M06_half_way", 30.5),
            ("M02_sin_cos", 54.37),  # 90 − 35.63
        ],
    ),
}
MADE = {
    ("12.4", 1): {
        # a ram 1 with 40 mm and 24 kN, b ram 3 with 32 and 14, c ram 2 with 45 and 18.
        "M24_largest_bore_first": ({}, "c a b"),
        "M24_largest_load_first": ({}, "a c b"),
        "smallest_load_first": ({}, "b c a"),
    },
}
