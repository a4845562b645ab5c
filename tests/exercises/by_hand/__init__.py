"""What each mistake of an exercise gives, worked out by hand: one file a lesson.

None of the numbers comes from the code: each is worked out in the comment beside it,
with four figures of each sine and cosine.

``BY_HAND``: by exercise and version, numbers, and in the order of the bank each mistake
with what it gives, in the units of question and answer. ``MADE``: for an answer that is
made, numbers that differ from those worked by hand, and what is typed. ``ANYWHERE``: by
exercise, what can go wrong in any.
"""

from importlib import import_module
from pathlib import Path

_LESSONS = [
    import_module(f"{__name__}.{path.stem}")
    for path in sorted(Path(__file__).parent.glob("lesson_*.py"))
]
BY_HAND, MADE, ANYWHERE = (
    {key: case for one in _LESSONS for key, case in getattr(one, name, {}).items()}
    for name in ("BY_HAND", "MADE", "ANYWHERE")
)
