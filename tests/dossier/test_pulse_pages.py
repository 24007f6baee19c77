"""Pages of sled runs as a reader of the PDF finds them, with whatever a channel calls itself."""

import io
import re
from dataclasses import replace
from typing import Any

import pytest
from pypdf import PdfReader

from evidence.dossier import DossierInput
from evidence.typeset import Typesetter
from tests.dossier import builders, sled
from tests.dossier.test_hook_position import speak


@pytest.fixture(scope="module")
def american() -> DossierInput:
    """Three directions against the sample corridors of shipped packs, with claims of a report."""
    return sled.source(sled.AMERICAN)


HOSTILE = 'S"0<b>&amp;\u202e\u98f4 #panic("x") $x$ \\u{41} ' + "W" * 90


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_page_is_set_and_its_words_can_be_read(
    typesetter: Typesetter, american: DossierInput, paper: Any
) -> None:
    made = typesetter.typeset(*builders.ready(replace(american, paper=paper), speak), builders.ISSUED)
    # independent reader: pypdf
    said = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in PdfReader(io.BytesIO(made)).pages))

    assert "Type tests: what the channels say" in said
    assert "Rear impact of a sample: test t53, filed for position p1" in said
    assert "corridor of SAE J2956 (2011-06)" in said  # inside the drawing, as text
    assert "worst margin" in said


def test_a_hostile_name_of_a_channel_harms_no_drawing(typesetter: Typesetter, american: DossierInput) -> None:
    curves = american.pulses["t52"]
    hostile = replace(curves[0], channel=curves[0].channel.model_copy(update={"name": HOSTILE}))
    tests = tuple(
        one.model_copy(update={"channels": (hostile.channel, *one.channels[1:])}) if one.id == "t52" else one
        for one in american.record.tests
    )
    given = replace(
        american,
        pulses={**american.pulses, "t52": (hostile,)},
        record=american.record.model_copy(update={"tests": tests}),
    )
    made = typesetter.typeset(*builders.ready(given, speak), builders.ISSUED)
    said = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(made)).pages)

    assert "\u202e" not in said
    assert "<b>&amp;" in said
    assert "\u2026, CFC 60" in said  # cut in the key
    assert "W" * 90 in re.sub(r"[^W]", "", said)  # whole among the facts
