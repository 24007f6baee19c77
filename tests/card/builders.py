"""Profiles and records for cards: the demonstration's own, and ones that strain the layout."""

from collections.abc import Sequence
from typing import Any

from evidence.card import CardSource, card, plan
from evidence.dossier import Data, Paper
from evidence.model.profile import Profile
from evidence.model.record import JobRecord
from evidence.phrases import say
from evidence.record.reader import read_profile
from tests.conftest import DEMO

STEP = {"title": {"en": "Do it"}, "page": "9"}


def demo_profile() -> Profile:
    """The profile of the demonstration."""
    return read_profile((DEMO / "job" / "profile.yaml").read_bytes()).profile


def profile(
    steps: Sequence[dict[str, Any]] = ({"id": "drill"},),
    items: Sequence[dict[str, Any]] = (),
    **parts: Any,
) -> Profile:
    """A profile of these steps and demands; the demand of the label is of no interest to a card."""
    label = {**criterion("present", "label"), "evidence_from": ["label-system"]}
    return Profile.read(
        {
            "format": "sillmark-profile/0",
            "id": "heron-2",
            "revision": "C",
            "manual": {"id": "H2-M", "maker": "Maker", "issued": "2025-01-01", "valid_from": "2025-01-01"},
            "system": "Heron 2",
            "pairs": [{"stretcher": "Heron Carrier", "system": "Heron 2", "page": "3"}],
            "steps": [{**STEP, **step} for step in steps],
            "items": [{"section": "1", "criterion": each} for each in (label, *items)],
            **parts,
        }
    )


def criterion(kind: str, name: str, subject: str = "position", **fields: Any) -> dict[str, Any]:
    """A demand with the fields that all types share."""
    return {
        "id": name,
        "type": kind,
        "subject": subject,
        "mark": "confirmed",
        "source": "manual",
        "page": "14",
        "closes": "fitter",
        **fields,
    }


def value(name: str, subject: str = "position", **fields: Any) -> dict[str, Any]:
    """A demand on a recorded value."""
    limits = {} if fields.keys() & {"low", "high", "nominal", "limit"} else {"low": "1 mm", "high": "2 mm"}
    return criterion("within", name, subject, quantity=f"characteristic.{name}", **limits, **fields)


def group(name: str = "floor", count: int = 8, **fields: Any) -> dict[str, Any]:
    """A group of screws of the profile."""
    return {
        "group": name,
        "thread": "M8",
        "property_class": "10.9",
        "count": str(count),
        "page": "12",
        **fields,
    }


def straining() -> Profile:
    """Forty steps with titles of ninety characters, wide ones and ones without a space among them."""
    steps = []
    for number in range(40):
        words = f"S{number:02d} fit the long plate with its spacer beside the sill as it is drawn on the page named"
        title = (words + " " + "and there")[:89] + "."
        if number % 7 == 0:
            title = f"S{number:02d} " + "W" * 86
        if number % 7 == 3:
            title = f"S{number:02d} " + "extraordinarily-long-word-without-a-space-" * 2 + "xy"
        assert len(title) == 90
        steps.append({"id": f"step-{number}", "title": {"en": title}, "page": str(number + 5)})
    steps[5]["yields"] = ["hook-position", "lock-window-locked", "label-system", "label-stretcher"]
    steps[6] |= {"yields": ["torque"], "screws": "floor"}
    steps[9]["yields"] = ["load-unload-empty", "play-lengthwise", "play-crosswise"]
    items = [
        value("hook-position", title={"en": "T" * 90}),
        value("play-lengthwise"),
        value("play-crosswise", high="3 mm"),
        value("deck-height", "vehicle", nominal="700 mm"),
        criterion("counted", "empty", count="load-unload-empty", at_least="12", title={"en": "Count " * 14}),
        criterion("within", "torque", "screws", quantity="screws.torque", low="22 N·m", high="26 N·m"),
    ]
    expected = [
        {"role": role, "per": "position"}
        for role in ("overview", "hook-position", "label-system", "label-stretcher", "test-channel")
    ]
    expected += [{"role": "which-vehicle", "per": "vehicle"}, {"role": "type-test-report", "per": "vehicle"}]
    cautions = [{"text": {"en": "Keep your hands clear of it. " * 13}, "page": "3"} for _ in range(4)]
    return profile(
        steps, items, screws=[group(count=30), group("wall", 120)], expected=expected, cautions=cautions
    )


def record(positions: int = 1, **parts: Any) -> JobRecord:
    """A job that was just started; ``parts`` replace whole sections."""
    names = [f"p{number}" for number in range(1, positions + 1)]
    return JobRecord.read(
        {
            "format": "sillmark-job/0",
            "id": "AMB-0417",
            "profile": "heron-2@C",
            "offsets": [{"from": "2026-01-01", "offset": "+01:00"}],
            "vehicle": {"build": "BW-2231"},
            "bases": [{"standard": "EN 1789:2020", "packs": ["en@1"], "stated_by": "w1"}],
            "people": [{"id": "w1", "functions": ["fitter"]}],
            "positions": [
                {"id": name, "system": {"model": "Heron 2", "serial": "1"}, "loading": "rear"}
                for name in names
            ],
            "tickets": [
                {"subject": subject, "nonce": f"nonce{number}kmnp"}
                for number, subject in enumerate(("vehicle", *names), start=2)
            ],
            **parts,
        }
    )


def source(the_profile: Profile, positions: int = 1, paper: Paper = "a4", **parts: Any) -> CardSource:
    """What a card is printed from."""
    the_record = record(positions, **parts)
    laid = plan(the_profile, [position.id for position in the_record.positions], paper)
    return CardSource(the_record, the_profile, laid, say)


def blocks(the_source: CardSource) -> list[Data]:
    """Every block of the card in order."""
    return [block for page in card(the_source)["pages"] for block in page["blocks"]]
