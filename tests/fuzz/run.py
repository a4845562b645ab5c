"""Feed many odd inputs by hand: ``python tests/fuzz/run.py --inputs 100000 --seed 1``.

It prints how many of each kind, faults (0), files left half written (0) and the
slowest input, and keeps what was at fault in a folder beside.
"""

import argparse
import os
import sys
import tempfile
import time
from pathlib import Path

from fuzzing import fuzz


def main():
    """Run, and end with 1 if anything was at fault."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--inputs", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kind", action="append", default=[])
    parser.add_argument("--keep", type=Path, help="where inputs at fault go")
    args = parser.parse_args()
    start = time.perf_counter()
    memory = Path("/dev/shm")  # a disk that many files do not wear
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder:
        os.environ["PULLWRIGHT_SETTINGS"] = str(Path(folder) / "settings")
        found = fuzz(
            Path(folder),
            inputs=args.inputs,
            seed=args.seed,
            kinds=args.kind,
            tell=print,
        )
    for number, (kind, _, data) in enumerate(found.faults if args.keep else ()):
        args.keep.mkdir(exist_ok=True)
        (args.keep / f"{number} {kind}").write_bytes(data)
    print(", ".join(f"{kind} {count}" for kind, count in sorted(found.by_kind.items())))
    seconds, kind, data = found.slowest
    print(
        f"{found.inputs} inputs in {time.perf_counter() - start:.0f} s, "
        f"{found.refused} refused in a sentence, {len(found.faults)} faults, "
        f"{found.half_written} files half written; "
        f"slowest {seconds:.2f} s: {kind}, {len(data)} bytes {data[:60]!r}"
    )
    return bool(found.faults or found.half_written)


if __name__ == "__main__":
    sys.exit(main())
