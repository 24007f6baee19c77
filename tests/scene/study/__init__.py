"""Scenes of the accuracy study: true setups drawn from frozen ranges, and pictures of them; nothing of the tool's own.

``sample(kind, seed, cell=None)`` draws a setup, ``render(setup)`` returns picture and truth; ``kinds()`` and ``cells()``
list what there is, ``ranges.json`` how it is drawn.
"""

from tests.scene.study.framing import sample
from tests.scene.study.render import render
from tests.scene.study.setups import Setup, cells, kinds

__all__ = ["Setup", "cells", "kinds", "render", "sample"]
