"""Questions mixed over the lessons, for whoever knows the work already.

All are short, and need no part before them. Two that follow each other are of two
lessons, so that choosing the way is part of the work.
"""

ENTRY = ("2.1", "11.4", "8.4", "6.4", "10.3", "9.1", "7.2", "15.1")
"""The entry check: one question a lesson, the gentle ones first."""

REFRESH = (
    "2.6", "8.4", "10.1", "9.1", "6.4", "11.2", "14.2", "7.1", "9.6", "3.1",
)  # fmt: skip
"""What a refresh is filled up from, where little was answered before."""
