"""Processes that write one record at a time, to be killed on the way."""

import subprocess
import sys

# Says a number once the line with it must be on disk.
WRITER = """
import sys
from pathlib import Path
from workbook.reader.record import Record
record = Record(Path(sys.argv[1]))
for k in range(int(sys.argv[3])):
    record.append("answer", who=sys.argv[2], k=k, typed="12,4 kN " + "x" * 200)
    print(k, flush=True)
"""


def start_writer(path, who, count):
    return subprocess.Popen(
        [sys.executable, "-c", WRITER, path, who, str(count)],
        stdout=subprocess.PIPE,
        text=True,
    )


def raw_lines(path):
    return path.read_bytes().split(b"\n")
