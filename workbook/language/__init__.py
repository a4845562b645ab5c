"""Every sentence a reader, student or instructor sees: one folder a language."""

from workbook.language.cautions import CAUTIONS, STANDING, caution, left_out
from workbook.language.glossary import Word, glossary
from workbook.language.printable import harmless, shown
from workbook.language.sentences import (
    entries,
    fill,
    language,
    languages,
    say,
    set_language,
    text,
    text_everywhere,
)

__all__ = [
    "CAUTIONS",
    "STANDING",
    "Word",
    "caution",
    "entries",
    "fill",
    "glossary",
    "harmless",
    "language",
    "languages",
    "left_out",
    "say",
    "set_language",
    "shown",
    "text",
    "text_everywhere",
]
