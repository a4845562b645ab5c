"""The process that students' servers are split off from: it remembers nothing."""

import json
import subprocess
import sys

# Each one that is split off looks through its own memory for what the first was told;
# the few times that it comes upon are of the looking itself.
SPLIT_OFF = """
import os, sys
from workbook.classroom.server import starter

def begin(asked):
    told, found = bytes.fromhex("%s"), 0
    with open("/proc/self/maps") as maps, open("/proc/self/mem", "rb") as memory:
        for line in maps:
            place, rights = line.split()[:2]
            start, end = (int(one, 16) for one in place.split("-"))
            if rights.startswith("rw") and "[v" not in line:
                memory.seek(start)
                found += memory.read(end - start).count(told)
    os.write(1, b"%%s\\n" %% (b"known" if found > 9 else b"unknown"))
    os._exit(0)

starter._begin, starter.seat.load = begin, lambda: None
starter.serve()
"""


def test_what_one_student_is_told_is_not_in_the_next_ones_memory():
    secret = "the token of the first"
    process = subprocess.Popen(
        [sys.executable, "-c", SPLIT_OFF % secret.encode().hex()],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )
    asked = {"user": 0, "folder": "", "program_mb": 0, "arguments": []}
    told = []
    for environment in ({"TOKEN": secret * 3_000}, {"TOKEN": "of the second"}):
        line = json.dumps(asked | {"environment": environment}).encode() + b"\n"
        process.stdin.write(line)
        process.stdin.flush()
        said = {process.stdout.readline().strip(), process.stdout.readline().strip()}
        told += said & {b"known", b"unknown"}
    process.stdin.close()
    process.stdout.close()

    assert told == [b"known", b"unknown"]
    assert process.wait(30) == 0
