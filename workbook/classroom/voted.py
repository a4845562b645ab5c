"""What a class voted by raised hands, before and after talking: numbers, no names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from workbook.course import lessons
from workbook.course.polls import Poll, poll_of, voted_on
from workbook.course.predictions import NONE, explained
from workbook.errors import FormError
from workbook.exercises import wording
from workbook.language import say, shown
from workbook.quantities.units import METRIC
from workbook.reader.class_votes import CLASS_FILE, voted
from workbook.reader.opening import default_folder

if TYPE_CHECKING:
    from workbook.course.polls import Offered

AGREED = 0.8  # of the hands: what so many had right is not asked again tomorrow


@dataclass(frozen=True, kw_only=True)
class Vote:
    """A question that a class voted on, with the hands of each round by letter."""

    lesson: str
    poll: Poll
    rounds: Sequence[Mapping[str, int]]

    @property
    def right(self) -> Offered:
        """The right choice."""
        return next(one for one in self.poll.choices if one.right)

    @property
    def total(self) -> list[int]:
        """How many hands there were, round by round."""
        letters = [one.letter for one in self.poll.choices]
        return [sum(each.get(x, 0) for x in letters) for each in self.rounds]

    @property
    def right_hands(self) -> list[int]:
        """How many of them were right."""
        return [each.get(self.right.letter, 0) for each in self.rounds]

    @property
    def common(self) -> Offered | None:
        """The wrong choice that most took in the end; none if nobody took one."""
        last = self.rounds[-1]
        wrong = [x for x in self.poll.choices if not x.right and last.get(x.letter, 0)]
        return max(wrong, key=lambda one: last[one.letter], default=None)

    @property
    def unsettled(self) -> bool:
        """Whether there is a known mistake to begin tomorrow with."""
        enough = self.right_hands[-1] < AGREED * self.total[-1]
        return enough and self.common is not None and self.common.name != NONE

    @property
    def refutation(self) -> Sequence[str]:
        """What is said of the wrong choice that most took."""
        assert self.common is not None
        asked = lessons()[self.lesson].prediction
        if self.poll.about:
            assert self.poll.variant is not None
            return wording.refutation(self.poll.variant.exercise, self.common.name)
        assert asked is not None
        return explained(asked, self.common.name)

    @property
    def hands(self) -> Iterator[tuple[Offered, str]]:
        """Each choice with its hands, round by round."""
        for one in self.poll.choices:
            counts = [str(each.get(one.letter, 0)) for each in self.rounds]
            yield one, " → ".join(counts)


def votes_of(
    class_key: str, *, beside: Path, file: Path | None = None, lesson: str = ""
) -> list[Vote]:
    """Return what a class voted, of one lesson or of all.

    Parameters
    ----------
    class_key : str
        That of the class.
    beside : Path
        Folder of the class list, where the file of votes is looked for first; then
        that of the lessons.
    file : Path, optional
        The file of votes, where it is somewhere else.
    lesson : str
        Only this one.

    Raises
    ------
    FormError
        If a file was named and there is none.
    """
    if file is not None and not file.is_file():
        raise FormError("votes.not_there", file=shown(str(file)))
    places = [file] if file else [beside / CLASS_FILE, default_folder() / CLASS_FILE]
    found = (voted(place, class_key=class_key) for place in places if place.is_file())
    return [
        Vote(
            lesson=one.lesson,
            poll=poll_of(
                lessons()[one.lesson], one.about, class_key=class_key, system=METRIC
            ),
            rounds=one.rounds,
        )
        for one in next(filter(None, found), [])
        if lesson in {"", one.lesson}
        and one.about in {"", *voted_on(lessons()[one.lesson])}
    ]


def vote_told(vote: Vote) -> Iterator[str]:
    """Yield the sentences of the report on a vote."""
    about = vote.poll.about or say("classroom", "voted", "prediction")
    counts = [say("classroom", "voted", "each", letter=x.letter, hands=h, text=x.text)
              for x, h in vote.hands]  # fmt: skip
    yield say("classroom", "voted", "counts", lesson=vote.lesson, about=about,
              counts=counts)  # fmt: skip
    rounds = zip(vote.right_hands, vote.total, strict=True)
    shares = [say("classroom", "voted", "share", right=r, of=n) for r, n in rounds]
    entry = "before_and_after" if len(shares) > 1 else "once"
    yield say("classroom", "voted", entry, letter=vote.right.letter, shares=shares)
    if vote.common is not None:
        yield say("classroom", "voted", "common", letter=vote.common.letter,
                  tells=vote.common.tells)  # fmt: skip
