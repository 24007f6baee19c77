"""Bundles for the tests of sealing and verifying."""

import shutil
from pathlib import Path

import pytest

from evidence import bundle
from tests.seal import factory


@pytest.fixture(scope="session")
def sealed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A good bundle, written by the program; not to be changed."""
    target = tmp_path_factory.mktemp("sealed") / "AMB-0417" / "0000-build"
    bundle.write_bundle(target, dict(factory.payload()), factory.REQUEST, factory.SIGNER.sign)
    return target


@pytest.fixture
def copied(sealed: Path, tmp_path: Path) -> Path:
    """A copy of the good bundle whose files can be changed."""
    target = tmp_path / "0000-build"
    shutil.copytree(sealed, target)
    for path in target.rglob("*"):
        path.chmod(0o755 if path.is_dir() else 0o644)
    return target
