"""An answer under a fold: asked first, shown when the reader opens it."""

from __future__ import annotations

from html import escape


class Reveal:
    """A question whose answer is opened by a click or by Enter.

    Examples
    --------
    >>> Reveal("How much?", "12.4 kN")
    How much? | 12.4 kN
    """

    def __init__(self, question: str, answer: str) -> None:
        self.question, self.answer = question, answer

    def __repr__(self) -> str:
        return f"{self.question} | {self.answer}"

    def _repr_html_(self) -> str:
        return (
            f"<details><summary>{escape(self.question)}</summary>"
            f"<p>{escape(self.answer)}</p></details>"
        )
