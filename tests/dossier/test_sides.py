"""Places of a contradiction are told in words, times and digests in a form that a reader can take in."""

import pytest

from evidence.dossier._sides import side
from evidence.dossier._words import Teller
from evidence.model.finding import Place
from evidence.phrases import say
from evidence.phrases.dossier_en import DOSSIER
from tests.dossier import builders

WHERE = {
    "i1.valid-until": "caliper i1: valid until",
    "i1.calibrated": "caliper i1: calibrated",
    "g1.at": "screw group g1: time",
    "w1.by": "w1 Ada Fitter: person",
    "declaration.at": "declaration: time",
    "release.at": "release: time",
    "p1.serial": "position p1: serial",
    "p1.lot": "position p1: lot",
    "p1.ticket": "position p1: ticket shown",
    "E001.label": "E001: code on the label",
    "E001.taken": "E001: Camera time",
    "E001.file": "E001: file now",
    "E001.intake": "E001: file as taken in",
    "E001.subject": "E001: filed for",
    "d1.stretcher-model": "type test report d1: stretcher",
    "p1.stretchers.delivered_with": "position p1: delivered with",
    "p1.stretchers.approved_models": "position p1: approved",
    "v1.value": "hook position v1: value",
    "retyped.v1.value": "second typing, hook position v1: value",
    "vehicle.vin": "VIN",
    "vehicle.build": "build number",
    "vehicle.vin.check-digit": "check digit that fits",
    "vehicle.vin_bound.exhibit": "photo of the plate",
    "vehicle": "vehicle",
    "work": "time of the work",
    "as-of": "day that is judged",
    "answers": "answer",
    "contradictions": "contradictions found",
    "parties": "companies named",
    "demands": "what is asked",
    "Slipway & Co. Ltd.finished": "Slipway & Co. Ltd: finished",
    "heron-2@C.manual.valid_until": "heron-2@C.manual.valid_until",
    "en-1789-2020@1/5.3/test-mass": "en-1789-2020@1/5.3/test-mass",
}


def teller() -> Teller:
    return Teller(builders.finished(), say)


@pytest.mark.parametrize(("where", "told"), WHERE.items())
def test_where_a_side_stands_is_told_in_words(where: str, told: str) -> None:
    assert side(Place(where=where, value="x"), teller()) == (told, "x")


@pytest.mark.parametrize(
    ("value", "told"),
    [
        ("2026-05-12T12:00", "2026-05-12 12:00"),
        ("2026-05-11/2026-05-12", "2026-05-11 to 2026-05-12"),
        ("ab" * 32, "abababababababab \u2026"),
        ("2026/05", "2026/05"),
        ("120.1 mm", "120.1 mm"),
    ],
)
def test_what_a_side_says_is_short_and_readable(value: str, told: str) -> None:
    assert side(Place(where="work", value=value), teller()) == ("time of the work", told)


def test_a_page_says_that_the_value_is_not_there() -> None:
    assert side(Place(where="E013.page-4", value="p. 4"), teller()) == ("E013, p. 4", "not found in the text")


def test_every_word_for_a_side_is_used_by_a_place() -> None:
    told = {part for words in WHERE.values() for part in words.replace(", ", ": ").split(": ")} | {
        "valid until"
    }
    words = {text for code, text in DOSSIER.items() if code.startswith("dossier-side-") and "{" not in text}

    assert words <= told


def test_a_computed_value_has_the_digits_that_people_read() -> None:
    tell = Teller(builders.open_(), say)

    assert side(Place(where="t23.velocity-change", value="10.1133373 mph"), tell)[1] == "10.1133 mph"
    assert side(Place(where="v1.value", value="123.825 mm"), tell)[1] == "123.825 mm"
    assert side(Place(where="p1.serial", value="0049"), tell)[1] == "0049"
