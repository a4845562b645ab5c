"""Lesson 09: what each mistake gives, worked out by hand."""

HUNG = {"weight": 30, "span": 2, "sag": 15}

BY_HAND = {
    ("9.1", 1): (
        {"span": 2000, "slack": 30},
        [
            ("M19_sag_is_slack", 30.0),
            ("M19_sag_is_slack", 15.0),
            ("v_shape", 173.85),  # 1015² − 1000² = 30225
        ],
    ),
    ("9.2", 1): (
        {"weight": 30, "span": 2, "tension": 1},
        [
            ("quarter_for_eighth", 30.0),  # 30 × 4 ÷ (4 × 1000) = 0.030 m
            ("span_not_squared", 7.5),  # 30 × 2 ÷ (8 × 1000) = 0.0075 m
        ],
    ),
    **{
        ("9.3", version): (
            HUNG,
            [
                ("quarter_for_eighth", 2.0),  # 30 × 4 ÷ (4 × 0.015) = 2000 N
                ("span_not_squared", 0.5),  # 30 × 2 ÷ (8 × 0.015) = 500 N
                ("chain_weight_only", 0.06),  # 30 × 2 = 60 N
            ],
        )
        for version in (1, 2)
    },
    ("9.4", 1): (
        {"slack_at_hook": 30, "ratio": 1.5},
        [
            ("M17_gain_is_free", 30.0),
            ("ratio_upside_down", 20.0),  # 30 ÷ 1.5
        ],
    ),
    ("9.5", 1): (
        {"tension": 30, "stiffness": 13, "length": 2},
        [
            ("M21_energy_in_step", 2.3077),  # 30 × 2 ÷ (2 × 13)
            ("M09_longer_pulls_harder", 34.615),  # 30 × 30 ÷ (2 × 13)
            ("half_missed", 138.46),  # 30 × 30 ÷ 6.5
        ],
    ),
    ("9.6", 1): (
        {"times": 2},
        [("M21_energy_in_step", 2.0), ("no_change", 1.0)],
    ),
    ("9.6", 2): (
        {"energy": 10, "before": 20, "after": 30},
        [("M21_energy_in_step", 15.0), ("no_change", 10.0)],  # 10 × 1.5
    ),
}
# What can go wrong anywhere, of 150 mm and of 69.231 J.
ANYWHERE = {
    "9.1": [
        ("sign", -150.0), ("factor10", 1500.0), ("factor10", 15.0),
        ("factor1000", 150_000.0), ("factor1000", 0.150),
        # 150 ÷ 25.4, and 150 × 25.4.
        ("other_units", 5.9055), ("other_units", 3810.0),
    ],
    "9.5": [
        ("sign", -69.231), ("factor10", 692.31), ("factor10", 6.9231),
        ("factor1000", 69_231.0), ("factor1000", 0.069231),
        # 1 ft lbf is 1.35582 J.
        ("other_units", 51.062), ("other_units", 93.865),
    ],
}  # fmt: skip
