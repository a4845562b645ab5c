"""Read 100,000 made-up answers; none may raise or take longer than 50 ms.

Run it by hand: ``python tests/benchmarks/fuzz_typed.py``.
"""

import random
import time

from workbook.typed import UNITS_OF_KIND, read_quantity

PIECES = [
    *"0123456789.,-+ /eE'\"°%×x*^½⅞−–()=",
    *["kN", "lbf", "tons", "mm", "in", "ft", "·", "\u00a0", "\u202f", "\u202e", "\x00"],
    *["12,400", "1e99", "9**9**9", "4 7/8", "<script>", "\ud800", "力", "٣"],
]


def main(count: int = 100_000) -> None:
    """Print the slowest answer and how many were read."""
    rng = random.Random(20)
    kinds = sorted(UNITS_OF_KIND)
    read_quantity("1 kN", kind="force")  # pint loads once
    slowest, slowest_text, read = 0.0, "", 0
    for _ in range(count):
        text = "".join(rng.choices(PIECES, k=rng.randint(0, 24)))
        start = time.perf_counter()
        typed = read_quantity(text, kind=rng.choice(kinds))
        spent = time.perf_counter() - start
        read += typed.value is not None
        if spent > slowest:
            slowest, slowest_text = spent, text
    print(
        f"{count} texts, {read} read, slowest {slowest * 1e3:.2f} ms: {slowest_text!r}"
    )
    if slowest > 0.05:
        raise SystemExit(1)


if __name__ == "__main__":
    main()
