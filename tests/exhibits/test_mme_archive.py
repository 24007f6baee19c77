"""Archives looked into without unpacking: what attacks look like is refused before anything is read."""

import io
import struct
import zipfile
from typing import Any

import pytest

from evidence.errors import InputError
from evidence.exhibits import _archive, mme
from evidence.phrases import hint, say
from tests.exhibits.mme_files import channel, sine, sled_set, zipped

SET = sled_set(channel(sine(-200)))


def refused(data: bytes) -> tuple[str, dict[str, str]]:
    """Code and parameters of the one problem; its sentence is said on the way."""
    with pytest.raises(InputError) as caught:
        mme.parse(data, "set.zip")
    (problem,) = caught.value.problems
    assert say(problem.code, problem.parameters)
    assert hint(problem.code).endswith(".")
    assert problem.where == "set.zip"
    return problem.code, dict(problem.parameters)


def test_a_zip_is_the_folder() -> None:
    assert mme.parse(zipped(SET), "set") == mme.read(SET, "set")
    assert mme.parse(_archive.packed(SET), "set") == mme.read(SET, "set")


def test_backslashes_part_folders() -> None:
    moved = [(name.replace("/", "\\"), data) for name, data in SET]

    assert mme.parse(zipped(moved), "set") == mme.read(SET, "set")


def test_films_and_papers_are_not_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    data, opened = zipped(SET), list[str]()
    plain = zipfile.ZipFile.open

    def spy(self: zipfile.ZipFile, name: zipfile.ZipInfo, **more: Any) -> object:
        opened.append(name.filename)
        return plain(self, name, **more)

    monkeypatch.setattr(zipfile.ZipFile, "open", spy)
    mme.parse(data, "set")

    assert opened == ["T1/T1.mme", "T1/Channel/T1.chn", "T1/Channel/T1.001"]


@pytest.mark.parametrize(
    "name",
    [
        "../T1.001",
        "T1/../../T1.001",
        "/etc/T1.001",
        "C:/T1.001",
        "..\\T1.001",
        "T1//T1.001",
        "a/" * 9 + "T1.001",
        "x" * 201,
        "T1/\u202e.001",
        "./T1.001",
    ],
)
def test_names_that_lead_elsewhere(name: str) -> None:
    code, parameters = refused(zipped([*SET, (name, b"1")]))

    assert code == "archive-name"
    assert parameters["found"]


def test_two_files_of_one_name() -> None:
    data = zipped([*SET, ("t1/channel/t1.001", b"1")])

    assert refused(data) == ("archive-name-twice", {"found": "t1/channel/t1.001"})


def test_a_password() -> None:
    data = bytearray(zipped(SET))
    for signature, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = data.find(signature)
        struct.pack_into("<H", data, at + offset, 1)

    assert refused(bytes(data)) == ("archive-password", {})


def test_a_bomb_is_refused_by_its_listing() -> None:
    data = zipped([*SET, ("T1/Channel/T1.002", b"0\n" * (5 * 1024 * 1024))])
    code, parameters = refused(data)

    assert code == "archive-ratio"
    assert int(parameters["found"]) > _archive.MAX_RATIO * int(parameters["packed"])


def test_a_dead_channel_is_no_bomb() -> None:
    zeros = ["0"] * 100_000
    dead = channel(zeros, First_global_maximum_value=None, First_global_minimum_value=None)

    assert len(mme.parse(zipped(sled_set(dead)), "set").channels[0].values) == 100_000


def test_a_size_that_lies() -> None:
    data = bytearray(zipped(SET))
    at = data.rfind(b"PK\x01\x02", 0, data.find(b"T1/Channel/T1.001", data.find(b"PK\x01\x02")))
    struct.pack_into("<I", data, at + 24, 100)  # the listing promises less than is there

    assert refused(bytes(data))[0] == "archive-damaged"


@pytest.mark.parametrize(
    "data",
    [zipped(SET)[:-40], zipped(SET)[:200], b"PK\x03\x04" + b"\x00" * 60, b"PK\x05\x06", b"no zip"],
)
def test_damaged(data: bytes) -> None:
    assert refused(data) == ("archive-damaged", {})


def test_a_flipped_byte_is_found() -> None:
    data = bytearray(zipped(SET, stored=True))
    at = data.find(b"0.000000")
    data[at] ^= 1

    assert refused(bytes(data)) == ("archive-damaged", {})


@pytest.mark.parametrize(
    ("cap", "limit", "code"),
    [
        ("MAX_ARCHIVE", 100, "archive-too-large"),
        ("MAX_MEMBER", 100, "archive-too-large"),
        ("MAX_READ", 100, "archive-too-large"),
        ("MAX_MEMBERS", 2, "archive-too-many"),
    ],
)
def test_caps(cap: str, limit: int, code: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(_archive, cap, limit)

    assert refused(zipped(SET))[0] == code


def test_a_zip_of_something_else() -> None:
    assert refused(zipped([("letter.txt", b"hello")])) == ("mme-absent", {})
    empty = io.BytesIO()
    zipfile.ZipFile(empty, "w").close()
    assert refused(empty.getvalue()) == ("mme-absent", {})


def test_a_symbolic_link_is_read_as_what_it_holds_and_never_followed() -> None:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as archive:
        for name, data in SET:
            archive.writestr(name, data)
        link = zipfile.ZipInfo("T1/Channel/T1.002")
        link.external_attr = 0o120777 << 16
        archive.writestr(link, "/etc/passwd")
    found = mme.parse(target.getvalue(), "set")

    assert [each.code for each in found.problems] == ["mme-channel-unlisted", "mme-no-samples"]
