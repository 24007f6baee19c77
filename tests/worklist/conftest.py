"""Judged jobs for the lists: the demonstration's, changed where a test needs it."""

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest

from evidence import pipeline
from evidence.guard import Guard
from evidence.worklist.vehicle import Vehicle

Judge = Callable[..., Vehicle]


@pytest.fixture(scope="session")
def guard() -> Iterator[Guard]:
    """One child for all readers of this folder's tests."""
    with Guard() as child:
        yield child


@pytest.fixture
def judge(guard: Guard) -> Judge:
    """Judge a job folder after changes of its record's text."""

    def judged(folder: Path, *changes: tuple[str, str]) -> Vehicle:
        path = folder / "job.yaml"
        text = path.read_text(encoding="utf-8")
        for old, new in changes:
            assert text.count(old) == 1, old
            text = text.replace(old, new)
        path.write_text(text, encoding="utf-8")
        days = pipeline.Days(date(2026, 6, 1))
        checked = pipeline.check_job(folder, days, "2026-06-01T08:00+00:00", guard)
        return Vehicle(checked.check, checked.judged, checked.demands, checked.names)

    return judged
