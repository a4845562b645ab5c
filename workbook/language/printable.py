"""Foreign text made harmless: nothing in it can steer a terminal or turn the text."""

import re

# What a terminal or an editor may take for an order or for the end of a line, and
# halves of characters that no file can hold. Tabs and line feeds are let through.
_ORDERS = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]"
)


def harmless(text: str) -> str:
    r"""Return text of several lines with all orders written out, as JSON writes them.

    Examples
    --------
    >>> harmless("Zoë\x1b[2J")
    'Zoë\\u001b[2J'
    """
    return _ORDERS.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


def shown(text: str) -> str:
    r"""Return text on one line with all that is not printable written out.

    Examples
    --------
    >>> shown("Zoë\x1b[2J\n")
    'Zoë\\x1b[2J\\n'
    """
    return "".join(
        c if c.isprintable() else c.encode("unicode_escape").decode("ascii")
        for c in text
    )
