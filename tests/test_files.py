"""The file system: names, links, caps, whole files and whole folders or nothing."""

import errno
import hashlib
import os
import stat
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from evidence import files
from evidence.errors import InputError, UsageError
from evidence.files import _reading, _writing


def names_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def problems_of(root: Path, *, bundle: bool = False) -> list[tuple[str, str]]:
    return [(problem.code, problem.where) for problem in files.list_tree(root, bundle=bundle).problems]


def test_listing_is_sorted_and_complete(tmp_path: Path) -> None:
    for path in ("b/z.txt", "b/a.txt", "a.txt", "c/d/e.txt"):
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_text(path)
    (tmp_path / "empty").mkdir()
    tree = files.list_tree(tmp_path)
    assert list(tree.sizes.items()) == [("a.txt", 5), ("b/a.txt", 7), ("b/z.txt", 7), ("c/d/e.txt", 9)]
    assert tree.empty_folders == ("empty",)
    assert tree.problems == ()


def test_links_and_special_files_are_named_and_not_followed(tmp_path: Path) -> None:
    (tmp_path / "loop").symlink_to(".", target_is_directory=True)
    (tmp_path / "link").symlink_to("/etc/hostname")
    os.mkfifo(tmp_path / "pipe")
    assert problems_of(tmp_path) == [
        ("file-symlink", "link"),
        ("file-symlink", "loop"),
        ("file-not-regular", "pipe"),
    ]
    assert files.list_tree(tmp_path).sizes == {}


def test_name_rules_differ_inside_a_bundle(tmp_path: Path) -> None:
    (tmp_path / "a b.txt").write_text("")
    (tmp_path / ".hidden").write_text("")
    assert problems_of(tmp_path) == [("path-not-allowed", ".hidden")]
    assert problems_of(tmp_path, bundle=True) == [
        ("path-not-allowed", ".hidden"),
        ("path-not-allowed", "a b.txt"),
    ]


def test_name_that_is_no_text_is_named(tmp_path: Path) -> None:
    (tmp_path / os.fsdecode(b"a\xff.jpg")).write_bytes(b"")
    assert problems_of(tmp_path) == [("path-not-allowed", r"a\udcff.jpg")]


def test_too_deep_and_too_many(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "/".join("abcdefghijkl")).mkdir(parents=True)
    assert problems_of(tmp_path)[0][0] == "tree-too-large"
    monkeypatch.setattr(_reading, "MAX_ENTRIES", 2)
    (tmp_path / "many").mkdir()
    for name in "xyz":
        (tmp_path / "many" / name).write_text("")
    assert problems_of(tmp_path / "many") == [("tree-too-large", ".")]


def test_folder_that_is_missing(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="nowhere: folder-missing"):
        files.list_tree(tmp_path / "nowhere")


def test_read_up_to_the_cap(tmp_path: Path) -> None:
    path = tmp_path / "x"
    path.write_bytes(b"12345")
    assert files.read_capped(path, 5) == b"12345"
    with pytest.raises(InputError, match="x: file-too-large") as caught:
        files.read_capped(path, 4)
    assert caught.value.problems[0].parameters == {"found": "5", "limit": "4"}


def refusals(root: Path) -> list[tuple[str, Callable[[], object], str]]:
    return [
        ("missing", lambda: files.read_capped(root / "no", 9), "file-absent"),
        ("link", lambda: files.read_capped(root / "link", 9), "file-symlink"),
        ("pipe", lambda: files.read_capped(root / "pipe", 9), "file-not-regular"),
        ("folder", lambda: files.read_capped(root / "folder", 9), "file-not-regular"),
        ("hash of a pipe", lambda: files.sha256_file(root / "pipe"), "file-not-regular"),
        ("hash of a link", lambda: files.sha256_file(root / "link"), "file-symlink"),
        ("link below", lambda: files.read_inside(root, "link", 9), "file-symlink"),
        ("linked folder below", lambda: files.read_inside(root, "way/file", 9), "file-unreadable"),
        ("outside", lambda: files.read_inside(root, "../x", 9), "path-not-allowed"),
        ("hash outside", lambda: files.sha256_inside(root, ["/etc/hostname"]), "path-not-allowed"),
        ("copy of a link", lambda: files.copy_file(root / "link", root / "new"), "file-symlink"),
    ]


@pytest.mark.parametrize("index", range(11))
def test_refusals(tmp_path: Path, index: int) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "folder" / "file").write_text("x")
    (tmp_path / "way").symlink_to("folder", target_is_directory=True)
    (tmp_path / "link").symlink_to("folder/file")
    os.mkfifo(tmp_path / "pipe")
    _, act, code = refusals(tmp_path)[index]
    with pytest.raises(InputError) as caught:
        act()
    assert [problem.code for problem in caught.value.problems] == [code]


def test_digests_on_two_threads_are_those_of_hashlib(tmp_path: Path) -> None:
    """Source: computed independently with hashlib over the whole content."""
    contents = {
        f"f{n}": bytes([n]) * size for n, size in enumerate((0, 1, files.BLOCK, files.BLOCK + 1, 3_000_000))
    }
    for name, content in contents.items():
        (tmp_path / name).write_bytes(content)
    digests = files.sha256_inside(tmp_path, sorted(contents))
    assert {name: each.sha256 for name, each in digests.items()} == {
        name: hashlib.sha256(content).hexdigest() for name, content in contents.items()
    }
    assert [each.size for each in digests.values()] == [len(contents[name]) for name in sorted(contents)]
    assert files.sha256_file(tmp_path / "f4") == digests["f4"]


def test_write_replaces_only_when_told(tmp_path: Path) -> None:
    path = tmp_path / "x.json"
    files.write_file(path, b"one")
    with pytest.raises(UsageError, match=r"x\.json: file-exists"):
        files.write_file(path, b"two")
    assert path.read_bytes() == b"one"
    files.write_file(path, b"two", overwrite=True, mode=0o600)
    assert path.read_bytes() == b"two"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert names_in(tmp_path) == ["x.json"]


def test_failed_write_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputError, match="x: file-unwritable") as caught:
        files.write_file(tmp_path / "x", b"data")
    assert caught.value.problems[0].parameters == {"reason": "ENOSPC"}
    assert names_in(tmp_path) == []


def test_write_into_a_missing_folder(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="file-unwritable"):
        files.write_file(tmp_path / "no" / "x", b"")
    with pytest.raises(InputError, match="file-unwritable"):
        files.write_new(tmp_path / "no" / "x", b"")


def test_copy_answers_what_was_written(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"x" * 2_500_000)
    digest = files.copy_file(tmp_path / "a", tmp_path / "b", mode=0o444)
    assert (tmp_path / "b").read_bytes() == (tmp_path / "a").read_bytes()
    assert digest == files.sha256_file(tmp_path / "b")
    with pytest.raises(UsageError, match="b: file-exists"):
        files.copy_file(tmp_path / "a", tmp_path / "b")
    with pytest.raises(UsageError, match="b: file-exists"):
        files.write_new(tmp_path / "b", b"")


def test_published_folder_is_whole(tmp_path: Path) -> None:
    target = tmp_path / "deep" / "bag"
    with files.publishing(target) as folder:
        assert not target.exists()
        (folder / "x").write_text("x")
    assert (target / "x").read_text() == "x"
    assert names_in(target.parent) == ["bag"]
    assert stat.S_IMODE(target.stat().st_mode) == 0o755


def test_error_publishes_nothing(tmp_path: Path) -> None:
    def fail() -> None:
        with files.publishing(tmp_path / "bag") as folder:
            (folder / "x").write_text("x")
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        fail()
    assert names_in(tmp_path) == []


def appear(target: Path, rival: str) -> None:
    if rival == "empty folder":
        target.mkdir()
    elif rival == "file":
        target.write_text("mine")
    else:
        target.symlink_to("nowhere")


@pytest.mark.parametrize("kernel", [True, False], ids=["kernel refuses", "lock file"])
@pytest.mark.parametrize("rival", ["empty folder", "file", "dangling link"])
def test_nothing_is_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, rival: str, *, kernel: bool
) -> None:
    """``rename`` alone would replace an empty folder that another process made meanwhile."""
    target = tmp_path / "bag"
    if not kernel:
        monkeypatch.setattr(_writing, "_rename_noreplace", lambda *_: False)

    def publish() -> None:
        with files.publishing(target) as folder:
            (folder / "x").write_text("x")
            appear(target, rival)

    with pytest.raises(FileExistsError):
        publish()
    assert os.path.lexists(target)
    assert not (target / "x").exists()
    assert [name for name in names_in(tmp_path) if not name.endswith(".lock")] == ["bag"]


def test_lock_file_lets_one_in_at_a_time(tmp_path: Path) -> None:
    inside, order = threading.Event(), []

    def second() -> None:
        inside.wait(5)
        with files.exclusive(tmp_path / ".lock"):
            order.append("second")

    thread = threading.Thread(target=second)
    with files.exclusive(tmp_path / ".lock"):
        thread.start()
        inside.set()
        thread.join(0.1)
        order.append("first")
    thread.join(5)
    assert order == ["first", "second"]


def test_lock_of_a_killed_process_is_free_again(tmp_path: Path) -> None:
    code = "import os,sys,evidence.files as f\nwith f.exclusive(f.Path(sys.argv[1])): os._exit(9)"
    done = subprocess.run([sys.executable, "-c", code, str(tmp_path / ".lock")], check=False)
    assert done.returncode == 9
    with files.exclusive(tmp_path / ".lock"):
        pass


def test_packaged_data_beside_the_package_and_inside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert files.packaged("templates", "pages", "VERIFY.txt.j2").is_file()
    package = tmp_path / "evidence"
    (package / "_data" / "schemas").mkdir(parents=True)
    (package / "_data" / "schemas" / "seal.json").write_text("{}")
    monkeypatch.setattr(files, "__file__", str(package / "files" / "__init__.py"))
    assert files.packaged("schemas", "seal.json").read_text() == "{}"
    with pytest.raises(FileNotFoundError, match="packaged data is missing"):
        files.packaged("templates", "pages", "VERIFY.txt.j2")
