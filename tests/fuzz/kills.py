"""Kill a writer again and again: ``python tests/fuzz/kills.py --kills 500``.

The writer keeps answers in a record, says each number once it is kept, and now and
then writes a file whole. After every kill, each answer that was said must be in the
record and readable, and the file must hold one whole content.
"""

import argparse
import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from workbook.reader.record import FILE, Record

WRITER = """
import itertools, sys
from pathlib import Path
from workbook.files import write_whole
from workbook.reader.record import FILE, Record
folder, first = Path(sys.argv[1]), int(sys.argv[2])
record = Record(folder / FILE)
for number in itertools.count(first):
    record.append("answer", typed=f"{number} kN", number=number)
    print(number, flush=True)
    if number % 5 == 0:
        write_whole(folder / "whole", f"{number} ".encode() * 20_000)
"""


def main():
    """Kill, count, and end with 1 if anything was lost or half written."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    rng = random.Random(args.seed)
    said, half, during = set(), 0, 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for _ in range(args.kills):
            writer = subprocess.Popen(
                [sys.executable, "-c", WRITER, name, str(max(said, default=0) + 1)],
                stdout=subprocess.PIPE,
            )
            said.add(int(writer.stdout.readline()))
            time.sleep(rng.uniform(0, 0.05))
            writer.send_signal(signal.SIGKILL)
            rest = writer.communicate()[0]
            # A number cut off in the pipe was not said.
            said |= {int(line) for line in rest.split(b"\n")[:-1]}
            whole = folder / "whole"
            if whole.exists():
                half += len(set(whole.read_bytes().split())) != 1
                half += whole.stat().st_size % 20_000 != 0
            left = [*folder.glob(".*.part")]
            during += bool(left)
            for part in left:
                part.unlink()
        kept = {line["number"] for line in Record(folder / FILE).mine("answer")}
        torn = sum(line["kind"] == "torn" for line in Record(folder / FILE).lines())
    print(
        f"{args.kills} kills, {len(said)} answers said to be kept, "
        f"{len(said - kept)} lost, {torn} lines cut off, {half} files half written, "
        f"{during} kills in the middle of one"
    )
    return bool(said - kept or half)


if __name__ == "__main__":
    sys.exit(main())
