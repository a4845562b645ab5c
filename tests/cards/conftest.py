"""A reader in a folder of his own, and a clock that goes on only when told."""

from types import SimpleNamespace

import pytest

import widgets.question
from workbook.reader.record import record_here


@pytest.fixture(autouse=True)
def own_folder(settings_folder):
    """Each test of a card is a reader of its own."""


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    """Time that goes on only when told."""
    now = SimpleNamespace(monotonic=lambda: now.seconds, seconds=100.0)
    monkeypatch.setattr(widgets.question, "time", now)
    return now


@pytest.fixture
def signed_in():
    record_here().sign_in(student="K7", class_key="oak")
