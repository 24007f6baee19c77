"""A list is read once: what was parsed is what is hashed and what the signature covers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

import pytest

from evidence import bundle
from evidence.seal import layout
from evidence.seal.bag import Helpers, Question
from evidence.seal.verify import verify

ONCE = (layout.TAG_SUMS_PATH, layout.SUMS_PATH)


@dataclass
class Changing:
    """A bag whose lists read differently the second time, as if somebody swapped them in between."""

    inner: bundle.FolderView
    reads: list[str] = field(default_factory=list)

    @property
    def sizes(self) -> Mapping[str, int]:
        """As the folder says."""
        return self.inner.sizes

    @property
    def empty_folders(self) -> Sequence[str]:
        """As the folder says."""
        return self.inner.empty_folders

    @property
    def problems(self) -> Sequence[object]:
        """As the folder says."""
        return self.inner.problems

    def digests(self, paths: Sequence[str]) -> Mapping[str, str]:
        """As the folder says; a list asked for here was read twice."""
        self.reads += [path for path in paths if path in ONCE]
        return self.inner.digests(paths)

    def read(self, path: str, cap: int) -> bytes:
        """The folder's bytes, noted for the lists."""
        self.reads += [path] if path in ONCE else []
        return self.inner.read(path, cap)


@pytest.mark.parametrize("path", ONCE)
def test_a_list_is_read_once(sealed: Path, path: str) -> None:
    view = Changing(bundle.open_view(sealed))
    question = Question(trust=None, as_of=date(2026, 3, 6), judge=1, integrity_only=True)

    verify(view, question, Helpers(attached=lambda _: {}, check=lambda _kind, _document: ()))  # type: ignore[arg-type]

    assert view.reads.count(path) == 1
