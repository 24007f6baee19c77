"""job.yaml, people.yaml, profiles and packs: bytes to models, or every problem at its place.

Cap, decode, read YAML, check the format's version, validate; checks of meaning are in ``meaning`` and its siblings.
"""

import re
from dataclasses import dataclass
from typing import TypeVar

from pydantic import ValidationError

from evidence.errors import InputError, Problem
from evidence.model._base import Model
from evidence.model.anchorage import ANCHORAGE_FORMAT, Anchorage
from evidence.model.pack import PACK_FORMAT, Pack
from evidence.model.people import PEOPLE_FORMAT, People
from evidence.model.profile import PROFILE_FORMAT, Profile
from evidence.model.record import JOB_FORMAT, JobRecord
from evidence.record._faults import capped, kind_of, problems_of
from evidence.record._syntax import MAX_SHOWN
from evidence.record.yamltext import YamlText, read_yaml

AnyModel = TypeVar("AnyModel", bound=Model)
_FORMAT = re.compile(r"(?P<kind>sillmark-[a-z]+)/(?P<version>[0-9]{1,9})", re.ASCII)


@dataclass(frozen=True)
class JobText:
    """job.yaml as record and as text."""

    record: JobRecord
    source: YamlText


@dataclass(frozen=True)
class PeopleText:
    """people.yaml as model and as text."""

    people: People
    source: YamlText


@dataclass(frozen=True)
class ProfileText:
    """A fitting profile as model and as text."""

    profile: Profile
    source: YamlText


@dataclass(frozen=True)
class PackText:
    """A pack as model and as text."""

    pack: Pack
    source: YamlText


@dataclass(frozen=True)
class AnchorageText:
    """An anchorage sheet as model and as text."""

    sheet: Anchorage
    source: YamlText


def read_job(data: bytes, name: str = "job.yaml") -> JobText:
    """Read a job record.

    Raises:
        InputError: with every problem of the text and of its shape.
    """
    return JobText(*read_model(data, name, JobRecord, JOB_FORMAT))


def read_people(data: bytes, name: str = "people.yaml") -> PeopleText:
    """Read names and notes of a job.

    Raises:
        InputError: with every problem of the text and of its shape.
    """
    return PeopleText(*read_model(data, name, People, PEOPLE_FORMAT))


def read_profile(data: bytes, name: str = "profile.yaml") -> ProfileText:
    """Read a fitting profile.

    Raises:
        InputError: with every problem of the text and of its shape.
    """
    return ProfileText(*read_model(data, name, Profile, PROFILE_FORMAT))


def read_pack(data: bytes, name: str) -> PackText:
    """Read a pack of clauses or of confirmations.

    Raises:
        InputError: with every problem of the text and of its shape.
    """
    return PackText(*read_model(data, name, Pack, PACK_FORMAT))


def read_anchorage(data: bytes, name: str) -> AnchorageText:
    """Read the sheet of an anchorage worksheet.

    Raises:
        InputError: with every problem of the text and of its shape.
    """
    return AnchorageText(*read_model(data, name, Anchorage, ANCHORAGE_FORMAT))


def read_model(data: bytes, name: str, model: type[AnyModel], format_id: str) -> tuple[AnyModel, YamlText]:
    """Read any of our YAML files.

    Args:
        data: bytes as stored.
        name: file name for messages.
        model: what the file holds.
        format_id: ``sillmark-<kind>/<version>`` that this version of the tool reads.

    Raises:
        InputError: with every problem of the text and of its shape.
    """
    source = read_yaml(data, name)
    if not isinstance(source.data, dict):
        found = kind_of(source.data)
        mismatch = source.problem("type-mismatch", (), found=found, expected="mapping")
        raise InputError(capped((mismatch, *source.problems), name))
    check_format(source, format_id)
    try:
        value = model.read(source.data)
    except ValidationError as error:
        faults = (_with_format(fault, format_id) for fault in problems_of(error, source, model))
        problems = (*source.problems, *faults)
        raise InputError(capped(tuple(sorted(problems, key=Problem.order)), name)) from error
    if source.problems:
        raise InputError(capped(source.problems, name))
    return value, source


def _with_format(fault: Problem, format_id: str) -> Problem:
    """A missing format is told with the line to type: nobody knows it by heart."""
    if (fault.code, fault.pointer) != ("field-missing", "/format"):
        return fault
    return Problem("format-missing", fault.where, fault.pointer, {"expected": format_id})


def check_format(source: YamlText, expected: str) -> None:
    """Stop at a file of another kind or of a version that this tool does not know.

    Raises:
        InputError: format-unknown or format-newer; a missing or misshapen format is left to the model.
    """
    found = source.at(("format",))
    if not isinstance(found, str) or found in ("", expected):
        return
    wanted, match = _FORMAT.fullmatch(expected), _FORMAT.fullmatch(found)
    newer = (
        match
        and wanted
        and match["kind"] == wanted["kind"]
        and int(match["version"]) > int(wanted["version"])
    )
    code = "format-newer" if newer else "format-unknown"
    raise InputError((source.problem(code, ("format",), found=found[:MAX_SHOWN], expected=expected),))
