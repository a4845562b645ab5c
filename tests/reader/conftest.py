"""Where the record of a test lies."""

import pytest

from workbook.reader.record import FILE


@pytest.fixture
def path(tmp_path):
    return tmp_path / FILE
