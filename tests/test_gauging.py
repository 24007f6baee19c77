"""Which photos of a job are measured: only beside a recorded value, with the profile's set-up and the card's own zero."""

from fractions import Fraction
from typing import Any

import pytest

from evidence import gauging, measuring
from evidence.errors import InputError
from evidence.exhibits import Answer
from evidence.measuring import SetUp, Taken
from evidence.model.measurement import Measurement
from evidence.model.profile import BenchTrial, HookDatum, Profile
from tests.judge.builders import TO_COME, entry, paper, photo, profile, record, step, value
from tests.judge.test_photo import CARD, CHECK, measured

HOOKED = profile().model_copy(
    update={
        "hook": HookDatum.read(
            {
                "from": "outer-sill-face",
                "to": "sill-side-back",
                "contact_height": "6 mm",
                "contact_height_uncertainty": "1 mm",
                "offset_to_functional_face": "0 mm",
                "page": "14",
            }
        )
    }
)
SHOTS = [entry("E003", "hook-position", file="photos/E003.jpg")]


class Seen(list[tuple[tuple[str, ...], SetUp]]):
    """What was asked to be measured."""


@pytest.fixture
def seen(monkeypatch: pytest.MonkeyPatch) -> Seen:
    asked = Seen()

    def measure(photos: list[Taken], setup: SetUp, _read: Any) -> measuring.Measured:
        asked.append((tuple(each.exhibit for each in photos), setup))
        return measuring.Measured(measured(exhibits=[each.exhibit for each in photos]))

    monkeypatch.setattr(measuring, "hook_position", measure)
    return asked


def found(
    the_profile: Profile = HOOKED, data: dict[str, bytes] | None = None, **parts: Any
) -> dict[tuple[str, str], Measurement]:
    the_record = record(**{"exhibits": SHOTS, "characteristics": [value()], **parts})
    items = {each.id: photo(each.id) for each in the_record.exhibits}

    def fetch(exhibit: str) -> tuple[bytes, str]:
        return (data or {}).get(exhibit, exhibit.encode()), exhibit

    return gauging.of_job(the_record, the_profile, items, fetch, nobody)[0]


def nobody(_name: str, _data: bytes, where: str) -> Answer:
    raise AssertionError(where)


def test_measured_with_the_height_of_the_profile(seen: Seen) -> None:
    assert list(found()) == [("characteristic.hook-position", "p1")]
    assert seen == [
        (("E003",), SetUp(height=Fraction(6), height_uncertainty=Fraction(1, 2), limits=seen[0][1].limits))
    ]


@pytest.mark.parametrize("values", [[], [value(text=TO_COME)], [value(name="v1", subject="p9")]])
def test_nothing_is_told_before_the_caliper_has_spoken(seen: Seen, values: list[dict[str, Any]]) -> None:
    assert found(characteristics=values) == {}
    assert seen == []


def test_a_profile_that_does_not_say_where_the_hook_is_touched(seen: Seen) -> None:
    assert found(profile()) == {}
    assert seen == []


def test_the_same_file_twice_is_one_view(seen: Seen) -> None:
    twice = [*SHOTS, entry("E004", "hook-position", file="photos/E004.jpg")]

    found(exhibits=twice, data={"E003": b"same", "E004": b"same"})
    found(exhibits=twice)

    assert [photos for photos, _ in seen] == [("E003",), ("E003", "E004")]


def test_papers_are_not_measured(seen: Seen) -> None:
    the_record = record(exhibits=SHOTS, characteristics=[value()])

    assert gauging.of_job(
        the_record, HOOKED, {"E003": paper("E003")}, fetch=lambda _: (b"", ""), read=nobody
    ) == ({}, {})
    assert seen == []


def test_the_last_zero_check_before_the_work_goes_with_it(seen: Seen) -> None:
    later = {**CHECK, "at": "2026-03-20", "reading": "121 mm"}
    card = {**CARD, "zero": [{**CHECK, "at": "2026-02-20", "reading": "120.4 mm"}, CHECK, later]}
    used = step("s1", "mark-out", "2026-03-04T10:40", **{"with": ["i9"]})

    found(instruments=[card], characteristics=[value(instrument="i9")], steps=[used])

    zero = seen[0][1].zero
    assert zero is not None
    assert (zero.error, zero.known) == (Fraction(1, 20), Fraction(120))
    # 0.25 mm and 0.03 mm as 95 % of a normal distribution; computed independently: hypot(0.25, 0.03) / 1.96
    assert float(zero.standard) == pytest.approx(0.1285, abs=1e-4)


def test_a_check_that_does_not_say_how_sure_it_is_corrects_nothing(seen: Seen) -> None:
    unsure = {name: part for name, part in CHECK.items() if name != "uncertainty"}
    used = step("s1", "mark-out", "2026-03-04T10:40", **{"with": ["i9"]})

    found(instruments=[{**CARD, "zero": [unsure]}], characteristics=[value(instrument="i9")], steps=[used])

    assert seen[0][1].zero is None


def test_a_file_that_no_reader_takes_gives_no_measurement(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: Any) -> measuring.Measured:
        raise InputError.one("exhibit-truncated", "E003")

    monkeypatch.setattr(measuring, "hook_position", refuse)

    assert found() == {}


def test_what_the_workshops_own_trial_found_goes_with_it(seen: Seen) -> None:
    trial = BenchTrial.read({"done": "2026-01-20", "report": "BT-3", "gap": "0,04", "print_scale": "0.0003"})

    found(HOOKED.model_copy(update={"bench_trial": trial}))

    assert seen[0][1].priors == {"gap": "0.04", "print_scale": "0.0003"}
