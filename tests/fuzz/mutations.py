"""Odd inputs from good ones: bytes shuffled, and values put where others stood."""

import json
import re

TOKENS = [
    "", "0", "-1", "1e999", "nan", "inf", "-0.0", "0x" + "f" * 3600, "9" * 5000,
    "true", "[]", "{}", "[[[[[[", '"' * 3, "'", '"\\u001b[2J"', "\x1b[2J", "\x00",
    "\u202e", "\ud800", "力", "٣", "…", "1979-05-27", "a.b.c", "=1+1", "@", "#", ",;\t",
    "x" * 200, "\r\n", "\ufeff", "../../etc/passwd", "/dev/null", "NUL", "-", "--",
    "10^3", "1.250", "1,250", "1'250", "½", "17.3 to 99 kN", "17.3O kN",
]  # fmt: skip
VALUES = [
    None, True, False, 0, -1, 10**400, 1e308, -1e308, float("nan"), float("inf"), "",
    "x" * 3000, "\x1b]0;x\x07", "\u2028", [], {}, [[]], {"a": {}}, "9.9", "8.1", "L99",
    "practice", "2026-01-12T09:00:00+01:00", "99999-01-01", 1000, 999, 2**63, "exit",
]  # fmt: skip
PIECES = [
    *"0123456789.,-+ /eE'\"°%×x*^½⅞−–()=",
    *["kN", "lbf", "tons", "mm", "in", "ft", "·", "\u00a0", "\u202f", "\u202e", "\x00"],
    *["12,400", "1e99", "9**9**9", "4 7/8", "<script>", "\ud800", "力", "٣", "10⁻³"],
    *[" to ", " or ", "about ", "O", "l", "±", "~", "10^"],
]
_VALUE = re.compile(r"(?<== ).+$", re.MULTILINE)


def bytes_shuffled(rng, data, other):
    """Return data with a few cuts, doublings, flips and foreign pieces."""
    data = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 4))):
        at = rng.randint(0, len(data))
        end = min(len(data), at + rng.choice((1, 2, 8, 60)))
        how = rng.randrange(6)
        if how == 0:
            del data[at:end]
        elif how == 1:
            data[at:at] = data[at:end] * rng.choice((1, 2, 50))
        elif how == 2 and at < len(data):
            data[at] ^= 1 << rng.randrange(8)
        elif how == 3:
            data[at:at] = token(rng)
        elif how == 4:
            cut = rng.randint(0, len(other))
            data[at:] = other[cut:]
        else:
            data[at:end] = rng.randbytes(end - at)
    return bytes(data)


def token(rng):
    """Return an odd piece of text as bytes."""
    return rng.choice(TOKENS).encode("utf-8", "surrogatepass")


def toml(rng, data, other):
    """Return a file with one value, or one line, replaced or doubled."""
    text = data.decode("utf-8", "replace")
    found = [*_VALUE.finditer(text)]
    if found and rng.random() < 0.7:
        one = rng.choice(found)
        fine = rng.choice([m[0] for m in found] + ["0", "-1", "1e308", "1e-308"])
        near = _number_near(rng, one[0])
        new = rng.choice((near, near, fine, rng.choice(TOKENS), f"[{fine}, {fine}]"))
        text = text[: one.start()] + new + text[one.end() :]
    else:
        lines = text.split("\n")
        lines.insert(rng.randint(0, len(lines)), rng.choice(lines))
        del lines[rng.randrange(len(lines))]
        text = "\n".join(lines)
    return text.encode("utf-8", "surrogatepass")


def _number_near(rng, text):
    """Return another number of the same size, where it is one."""
    try:
        return repr(round(float(text) * rng.uniform(-0.2, 1.5), rng.randrange(4)))
    except ValueError:
        return text


def table(rng, data, other):
    """Return a table with one cell or one line replaced."""
    rows = [row.split(",") for row in data.decode("utf-8", "replace").split("\n")]
    row = rng.choice(rows)
    if rng.random() < 0.8:
        at = rng.randrange(len(row))
        row[at] = rng.choice((rng.choice(TOKENS), _number_near(rng, row[at])))
    else:
        rows.insert(rng.randint(0, len(rows)), row + row[: rng.randrange(4)])
    return "\n".join(map(",".join, rows)).encode("utf-8", "surrogatepass")


def json_text(rng, data, other):
    """Return JSON with one value replaced, one key gone or one doubled."""
    try:
        whole = json.loads(data)
    except ValueError:
        return bytes_shuffled(rng, data, other)
    place, key = _place(rng, whole)
    if place is None:
        return json.dumps(rng.choice(VALUES)).encode()
    if isinstance(place, dict) and rng.random() < 0.2:
        del place[key]
    else:
        place[key] = rng.choice(VALUES)
    text = json.dumps(whole, ensure_ascii=rng.random() < 0.5)
    if rng.random() < 0.1:
        text = text.replace(": ", ": 1, " + '"kind": ', 1)
    return text.encode("utf-8", "surrogatepass")


def _place(rng, whole):
    """Return somewhere in nested JSON: what holds it, and its key."""
    holder, key = None, None
    while isinstance(whole, dict | list) and whole:
        if holder is not None and rng.random() < 0.15:
            break
        holder = whole
        key = (
            rng.choice([*whole])
            if isinstance(whole, dict)
            else rng.randrange(len(whole))
        )
        whole = holder[key]
    return holder, key


def json_lines(rng, data, other):
    """Return lines of JSON with one of them changed, doubled, moved or gone."""
    lines = data.split(b"\n")
    at = rng.randrange(len(lines))
    how = rng.randrange(5)
    if how < 3:
        lines[at] = json_text(rng, lines[at], other)
    elif how == 3:
        lines.insert(rng.randint(0, len(lines)), lines[at])
    else:
        lines.insert(rng.randint(0, len(lines) - 1), lines.pop(at))
    return b"\n".join(lines)


def typed(rng, units):
    """Return text that is, or comes near, a quantity."""
    text = "".join(rng.choices(PIECES, k=rng.randint(0, 24)))
    if rng.random() < 0.5:
        text = f"{''.join(rng.choices('0123456789., ', k=5))} {text[:2]}"
        text += rng.choice(units)
    return text
