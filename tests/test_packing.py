"""A test's folder as one file: the same bytes everywhere, nothing but numbers, nothing followed, nothing without a cap."""

import os
from collections.abc import Sequence
from pathlib import Path

import pytest

from evidence import files, packing
from evidence.errors import InputError
from evidence.exhibits import mme
from evidence.files import _reading
from evidence.phrases import hint, tell
from tests.exhibits.mme_files import channel, sine, sled_set, zipped

SET = sled_set(channel(sine(-200)))


def lay(folder: Path, members: Sequence[tuple[str, bytes]] = SET) -> Path:
    """Write files below a folder; the folder of the test."""
    for name, data in members:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return folder / "T1"


def refused(path: Path) -> list[tuple[str, str]]:
    with pytest.raises(InputError) as caught:
        packing.take(path)
    for problem in caught.value.problems:
        assert tell(problem)
        assert hint(problem.code)
    return [(problem.code, problem.where) for problem in caught.value.problems]


def test_a_folder_is_its_numbers_and_no_more(tmp_path: Path) -> None:
    taken = packing.take(lay(tmp_path))

    assert (taken.name, taken.packed) == ("T1", True)
    assert taken.left_out == ("Document/read me.txt", "Movie/T1.avi")
    assert [one.values for one in mme.parse(taken.data, "x").channels] == [
        one.values for one in mme.read(SET, "x").channels
    ]


def test_the_same_folder_gives_the_same_bytes(tmp_path: Path) -> None:
    """Neither times nor the order in which files were written count."""
    one, other = lay(tmp_path / "a"), lay(tmp_path / "b", SET[::-1])
    os.utime(other / "T1.mme", (0, 0))

    assert packing.take(one).data == packing.take(other).data


def test_a_header_names_its_folder(tmp_path: Path) -> None:
    folder = lay(tmp_path)

    assert packing.take(folder / "T1.mme") == packing.take(folder)
    assert packing.folder_of(folder / "Channel" / "T1.chn") == folder / "Channel"
    assert packing.folder_of(folder / "Channel" / "T1.001") is None
    assert packing.folder_of(folder / "none.mme") is None


def test_another_file_is_taken_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "set.zip"
    path.write_bytes(zipped(SET))

    taken = packing.take(path)

    assert (taken.data, taken.name, taken.left_out, taken.packed) == (path.read_bytes(), "set.zip", (), False)


def test_a_folder_without_a_set(tmp_path: Path) -> None:
    (tmp_path / "photo.jpg").write_bytes(b"x")

    assert refused(tmp_path) == [("mme-absent", str(tmp_path))]


def test_a_link_is_told_because_a_part_may_hide_behind_it(tmp_path: Path) -> None:
    folder = lay(tmp_path)
    channels = folder / "Channel"
    channels.rename(tmp_path / "elsewhere")
    channels.symlink_to(tmp_path / "elsewhere")

    assert refused(folder) == [("file-symlink", f"{folder}/Channel")]


def test_a_pipe_among_the_channels(tmp_path: Path) -> None:
    folder = lay(tmp_path)
    os.mkfifo(folder / "Channel" / "T1.002")

    assert refused(folder) == [("file-not-regular", f"{folder}/Channel/T1.002")]


@pytest.mark.parametrize("name", ["T\n1.002", "T1\u202e.002", " T1.002", "T\udcff1.002", "a:b.002"])
def test_a_name_that_no_other_computer_takes(tmp_path: Path, name: str) -> None:
    folder = lay(tmp_path)
    (folder / name).write_bytes(b"1\n")

    assert [code for code, _ in refused(folder)] == ["path-not-allowed"]


def test_an_odd_name_of_a_film_is_nobodys_business(tmp_path: Path) -> None:
    folder = lay(tmp_path)
    (folder / "Movie" / " T\n1.avi").write_bytes(b"x")

    assert len(packing.take(folder).left_out) == 3


def test_a_whole_disk_is_no_test(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = lay(tmp_path)
    for number in range(20):
        (folder / f"{number}.txt").touch()
    monkeypatch.setattr(_reading, "MAX_ENTRIES", 10)

    assert refused(folder) == [("set-folder-large", str(folder))]


def test_deep_folders_end_somewhere(tmp_path: Path) -> None:
    folder = lay(tmp_path)
    (folder / "/".join("abcdefghijkl")).mkdir(parents=True)

    assert refused(folder) == [("set-folder-large", str(folder))]


def test_more_numbers_than_are_filed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = lay(tmp_path)
    monkeypatch.setattr(packing.pack, "__defaults__", (1000,))

    assert refused(folder) == [("set-too-large", str(folder))]


def test_a_zip_with_films_is_told_how_to_come_in(tmp_path: Path) -> None:
    path, other = tmp_path / "set.zip", tmp_path / "set.csv"
    for each in (path, other):
        with each.open("wb") as target:
            target.truncate(packing.MAX_EXHIBIT + 1)  # sparse: nothing is written

    assert refused(path) == [("set-zip-large", str(path))]
    assert refused(other) == [("file-too-large", str(other))]


def test_a_part_that_cannot_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = lay(tmp_path)

    def broken(*_: object, **__: object) -> bytes:
        raise InputError.one("file-unreadable", "T1.001", reason="EIO")

    monkeypatch.setattr(files, "read_inside", broken)

    assert refused(folder) == [("file-unreadable", "T1.001")]


def test_loose_sets_are_found_by_their_headers() -> None:
    paths = [
        "a/T1.mme",
        "a/Channel/T1.001",
        "b/scan.001",
        "c/CHANNEL/T2.chn",
        "c/CHANNEL/T2.001",
        "T3.mme",
        "x.jpg",
    ]

    assert packing.loose_sets(paths) == {
        "": ("T3.mme",),
        "a": ("a/Channel/T1.001", "a/T1.mme"),
        "c": ("c/CHANNEL/T2.001", "c/CHANNEL/T2.chn"),
    }
