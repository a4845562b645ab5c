"""Lesson 01: what each mistake gives, worked out by hand."""

BY_HAND = {
    ("1.2", 1): (
        {"bearing": 35},
        [
            ("M08_way_the_metal_went", 35.0),
            ("mirror_side", 145.0),  # 360 − 215
            ("quarter_turn", 125.0),  # 35 + 90
        ],
    ),
    ("1.4", 1): (
        {"front": 9, "rear": 4, "distance": 1000},
        [
            # 13 and 9 over 1000; the arctangent of 0.013 is 0.012999 of a radian.
            ("gaps_added", 0.74480),
            ("one_end_only", 0.51565),
            ("slip_swapped", 89.7135),  # 90 − 0.2865
        ],
    ),
}
MADE = {
    ("1.1", 1): {
        # As listed: a pillar and b sill of the van, c bumper, d gap and e fender of the
        # post, f door of the van. The post came first: c e d, then f a b.
        "order_of_hits_kept": ({}, "c e d f a b"),
        "direct_damage_first": ({}, "f a b c e d"),
        "first_hit_first": ({}, "d e c b a f"),
    },
    ("1.3", 1): {
        # d is 7, e is 8; b is 3.5, k is 2. Half the limit leaves 4.35 to 5.65: i is 6.
        "only_the_wide_ones": ({}, "d e"),
        "only_the_narrow_ones": ({}, "b k"),
        "limit_as_whole_band": ({}, "b d e i k"),
    },
    ("1.5", 1): {},
}
