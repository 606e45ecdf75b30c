"""What every API test starts from."""

from __future__ import annotations

import pytest

from tests.api.cast import Cast


@pytest.fixture
def cast(db: None) -> Cast:
    """The fixed cast, each with a browser of their own."""
    return Cast()
