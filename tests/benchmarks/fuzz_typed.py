"""Read 100,000 made-up answers; none may raise or take longer than 50 ms.

Run it by hand: ``python tests/benchmarks/fuzz_typed.py``.
"""

import random
import time

from workbook.quantities.table import KINDS
from workbook.quantities.typed import read_quantity

PIECES = [
    *"0123456789.,-+ /eE'\"°%×x*^½⅞−–()=",
    *["kN", "lbf", "tons", "mm", "in", "ft", "·", "\u00a0", "\u202f", "\u202e", "\x00"],
    *["12,400", "1e99", "9**9**9", "4 7/8", "<script>", "\ud800", "力", "٣"],
]


def main(count: int = 100_000) -> None:
    """Print the slowest answer and how many were read."""
    rng = random.Random(20)
    kinds = sorted(kind for kind, row in KINDS.items() if row.typed)
    slowest, slowest_text, read = 0.0, "", 0
    for _ in range(count):
        kind = rng.choice(kinds)
        text = "".join(rng.choices(PIECES, k=rng.randint(0, 24)))
        if rng.random() < 0.5:  # one that comes near a quantity
            text = f"{''.join(rng.choices('0123456789., ', k=5))} {text[:2]}"
            text += rng.choice(KINDS[kind].typed)
        start = time.process_time()  # what others do to the machine does not count
        typed = read_quantity(text, kind=kind)
        spent = time.process_time() - start
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
