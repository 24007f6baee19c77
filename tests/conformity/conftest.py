"""The validator is compiled once per session."""

import pytest

from tests.conformity.validator import Validator, make_validator


@pytest.fixture(scope="session")
def validator(tmp_path_factory: pytest.TempPathFactory) -> Validator:
    """The independent validator, or a skipped test."""
    return make_validator(tmp_path_factory.mktemp("validator"))
