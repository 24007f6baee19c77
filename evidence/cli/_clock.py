"""Clock and environment, read here and handed on as values."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path
from typing import Any, Literal

import click

from evidence.model.times import TimeTextError, parse_date, parse_interval


@dataclass(frozen=True)
class Issued:
    """The time that a bundle or log line carries, and where it came from."""

    at: datetime
    source: Literal["option", "epoch", "clock"]

    @property
    def text(self) -> str:
        """``2026-03-06T16:00+01:00``, to the minute."""
        return self.at.strftime("%Y-%m-%dT%H:%M") + _offset_text(self.at)


def _offset_text(at: datetime) -> str:
    minutes = int((at.utcoffset() or timedelta()).total_seconds() // 60)
    sign = "-" if minutes < 0 else "+"
    return f"{sign}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def issued(option: datetime | None) -> Issued:
    """``--at``, else SOURCE_DATE_EPOCH, else the clock."""
    if option is not None:
        return Issued(option, "option")
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if epoch:
        if not (epoch.isascii() and epoch.isdigit() and len(epoch) <= 11):  # noqa: PLR2004 - past the year 5000
            raise click.UsageError(f"SOURCE_DATE_EPOCH is {epoch!r}; it must be whole seconds since 1970.")
        return Issued(datetime.fromtimestamp(int(epoch), UTC), "epoch")
    return Issued(datetime.now().astimezone().replace(second=0, microsecond=0), "clock")


def today() -> date:
    """The day of ``issued`` without an option."""
    return issued(None).at.date()


def home() -> Path:
    """Where this user's keys and pinned keys live: SILLMARK_HOME, else the platform's folder."""
    return Path(os.environ.get("SILLMARK_HOME") or click.get_app_dir("sillmark"))


def child_environment() -> dict[str, str]:
    """What a child interpreter needs of the environment to start at all; nothing else is handed on."""
    needed = ("SYSTEMROOT", "LD_LIBRARY_PATH", "DYLD_LIBRARY_PATH")
    return {name: os.environ[name] for name in needed if name in os.environ}


class Moment(click.ParamType[datetime]):
    """A minute with its offset from UTC: ``2026-03-06T16:00+01:00``."""

    name = "TIME"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> datetime:
        """Read the text, or fail with the form that is wanted."""
        if isinstance(value, datetime):
            return value
        try:
            interval = parse_interval(str(value))
        except TimeTextError:
            interval = None
        if interval is None or interval.offset is None:
            self.fail(f"{value!r} is not a minute with offset, such as 2026-03-06T16:00+01:00.", param, ctx)
        return interval.start.replace(tzinfo=timezone(interval.offset))


class DayText(click.ParamType[date]):
    """A day: ``2026-03-06``."""

    name = "DAY"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """Read the text, or fail with the form that is wanted."""
        if isinstance(value, date):
            return value
        try:
            return parse_date(str(value))
        except TimeTextError:
            self.fail(f"{value!r} is not a day, such as 2026-03-06.", param, ctx)


def at_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """The ``--at`` option."""
    return click.option(
        "--at", type=Moment(), help="Time to record instead of the clock, e.g. 2026-03-06T16:00+01:00."
    )(function)
