"""Lesson 16: what each mistake gives, worked out by hand."""

BY_HAND = {
    ("16.3", 1): (
        {"n1": 1.2, "n2": 2.8, "n3": -2.7, "n4": 2.9, "n5": 1.6, "n6": 0.7},
        [
            ("largest_single_error", 2.9),
            ("signs_left_out", 1.6),  # 2.8 − 1.2
        ],
    ),
}
MADE = {
    ("16.1", 1): {
        # a 11, b 12, c 5, d 10, e 2, f 4, g 9, h 3, i 6, j 7, k 1, l 8. Past 1.25 mm:
        # 1.6 and 2.5 too. Of those past 2.5 only point 7 has a plus.
        "limit_as_whole_band": ({}, "a c e g j"),
        "only_above": ({}, "j"),
    },
    ("16.2", 1): {
        # a point 5, 2 mm, which is 8 ÷ 4; b 12, 5.5 mm; c 4, 3.5 mm; d 3, 1 mm.
        "outlier_by_size": ({}, "b"),
        "reading_is_the_jump": ({}, "a"),
        "neighbour_of_the_jump": ({}, "d"),
    },
    ("16.4", 1): {
        # c and k are heat and signatures, empty; a is a hit from behind only.
        "only_what_is_empty": ({"shuffle": 3}, "c k"),
    },
    ("16.5", 1): {
        "straight_so_done": ({}, "a 6, b 6, c 6, d 6, e 6, f 6"),
    },
}
