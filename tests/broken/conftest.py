"""Bundles to attack: the same as in the tests of sealing."""

from tests.seal.conftest import copied, sealed

__all__ = ["copied", "sealed"]
