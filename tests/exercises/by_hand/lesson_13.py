"""Lesson 13: what each mistake gives, worked out by hand."""

BY_HAND = {
    ("13.1", 1): (
        {"start": 20, "share": 60},
        [("what_is_left", 40.0)],  # 8 of 20
    ),
    ("13.2", 1): (
        {"length": 10, "width": 6},
        [
            ("M02_sin_cos", 59.036),  # 90 − 30.964
            ("slip_radians", 0.54042),  # 30.964 × 0.017453
        ],
    ),
    ("13.4", 1): (
        {"last": 18, "each": 1.5, "left": 6, "came": 12},
        [
            ("straight_from_zero", 27.0),  # 18 × 18 ÷ 12
            ("only_the_extra", 4.0),  # 6 ÷ 1.5
        ],
    ),
    ("13.5", 1): (
        {"pull": 37, "wanted": 22},
        [
            ("angles_added", 59.0),
            ("one_angle_only", 37.0),
        ],
    ),
}
MADE = {
    ("13.3", 1): {
        # a 0.5 to 2, b −3 to 1.5, c −1 to −3.5, d 2 to −4, f 4 to 0.5: all five moved
        # by more than 1, and up went a and b.
        "any_change_counted": ({}, "a b c d f"),
        "worse_means_plus": ({}, "a b"),
    },
    ("13.6", 1): {
        # a behind the bend and d the middle ask for the clamp.
        "more_pressure": ({}, "a 1, b 1, c 1, d 1, e 1, f 1, g 1, h 1"),
        "line_turned_for_clamp": ({}, "a 3, b 3, c 1, d 3, e 3, f 1, g 4, h 4"),
    },
}
