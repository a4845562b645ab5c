"""Commands for whoever refreshes: the angle card, and a quick check."""

from __future__ import annotations

import argparse
from pathlib import Path

from workbook.cli.bench import UNITS, chosen_units
from workbook.cli.commands import argument, command, tell, told
from workbook.errors import FormError, WorkbookError


@command(
    argument("--out", type=Path),
    argument("--paper", choices=("a4", "us-letter"), default="a4"),
    UNITS,
)
def card(args: argparse.Namespace) -> int:
    """Print the angle card, here or as a page."""
    from workbook.reader.school import school_rules
    from workbook.reports.quick import card_text

    system, rules = chosen_units(args), school_rules()
    if args.out is None:
        tell(card_text(system, rules=rules))
        return 0
    from workbook.classroom.angle_card import card_pdf
    from workbook.files import write_whole

    write_whole(args.out, card_pdf(paper=args.paper, system=system, rules=rules))
    tell(told("card", "written", file=args.out))
    return 0


@command(
    argument("kind", choices=("straight", "needed", "head", "bridle", "redirect")),
    *(
        argument(flag)
        for flag in (
            "--tension", "--useful", "--off-line", "--ram-force", "--to-pull",
            "--to-anchor", "--pull", "--between",
        )
    ),
    UNITS,
)  # fmt: skip
def check(args: argparse.Namespace) -> int:
    """Work out the third number from two."""
    from workbook.reader.school import school_rules
    from workbook.reports.quick import check_text
    from workbook.scenes.quick import CHECKS, NUMBERS

    system, one = chosen_units(args), CHECKS[args.kind]
    given = {name: vars(args)[name] for name in NUMBERS}
    typed = {name: value for name, value in given.items() if value is not None}
    if {*typed} != {*one.asks}:
        flags = [f"--{name.replace('_', '-')}" for name in one.asks]
        raise FormError("quick.other_numbers", check=one.name, flags=flags)
    try:
        found = one.answer(typed, system=system)
    except WorkbookError as refusal:
        tell(f"pullwright: {refusal.spoken(system.show)}", trouble=True)
        return 1
    tell(check_text(one, found, system, rules=school_rules()))
    return 0
