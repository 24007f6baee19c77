"""Photos to a measurement by way of the readers: what is kept, rounded and told, and what is refused."""

import io
import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from pydantic import ValidationError

from evidence import measuring
from evidence.errors import InputError, UsageError
from evidence.exhibits import call
from evidence.guard import Guard
from evidence.measure._base import Priors
from evidence.measuring import Limits, Measured, SetUp, Taken
from evidence.model.measurement import Measurement
from evidence.phrases import hint, knows
from evidence.record.reader import read_profile
from tests.conftest import DEMO
from tests.measure.flat import Eye, Laid, above, seen

FOCAL_35MM, CAMERA, MODEL, ORIENTATION = 0xA405, 0x8769, 0x0110, 0x0112
RAISED = re.compile(r'(?:Noticed|refuse)\(\s*"([a-z-]+)"')
GAPS = 2 * Priors().gap_mean  # added for gaps that a drawn card does not have
LIMITS = Limits(Fraction(118), Fraction(122))


def taken(name: str, eye: Eye, laid: Laid | None = None, *, turned: bool = False, quality: int = 92) -> Taken:
    """A photo as a phone would store it, a quarter turn off with ``turned``."""
    grey = seen(eye, laid or Laid())
    image = Image.fromarray(np.ascontiguousarray(np.rot90(grey)) if turned else grey)
    exif = Image.Exif()
    exif[MODEL], exif[ORIENTATION] = "Phone 1", 6 if turned else 1
    exif.get_ifd(CAMERA)[FOCAL_35MM] = 26
    out = io.BytesIO()
    image.save(out, "JPEG", quality=quality, exif=exif)
    return Taken(name, out.getvalue(), f"photos/{name}.jpg")


STEEP, SLANTING = taken("E003", above(4.0)), taken("E004", above(40.0))
EMPTY = Taken("E009", (DEMO / "job" / "photos" / "E001.jpg").read_bytes(), "photos/E009.jpg")


def measured(photos: Sequence[Taken], setup: SetUp | None = None) -> Measured:
    return measuring.hook_position(photos, setup or SetUp(), call)


def codes(measurement: Measurement) -> list[tuple[str, str | None]]:
    return [(each.code, each.exhibit) for each in measurement.warnings]


def test_one_photo_gives_a_whole_measurement() -> None:
    found = measured([STEEP]).measurement
    assert found.state == "measured"
    assert (found.quantity, found.unit, found.coverage) == ("hook position", "mm", "95 %")
    assert float(found.value or 0) == pytest.approx(120.0 + GAPS, abs=0.1)
    assert 0.2 < float(found.expanded_uncertainty or 0) < 0.6
    assert found.exhibits == ("E003",)
    assert (found.decides, found.reason, found.warnings) == (True, None, ())
    (view,) = found.views
    assert (view.exhibit, view.tags, view.focal) == ("E003", 12, "stated")
    assert float(view.obliqueness) == pytest.approx(np.degrees(np.arctan((120 - 68.7) / 419)), abs=0.5)
    assert float(view.camera_height) == pytest.approx(419, abs=6)
    assert Measurement.read(found.document()) == found


def test_numbers_are_rounded_once_to_a_hundredth_of_the_uncertainty() -> None:
    found = measured([STEEP]).measurement
    step = Decimal(found.expanded_uncertainty or "0").adjusted() - 2
    kept = (
        found.value,
        found.expanded_uncertainty,
        found.plane_margin,
        *(term.standard for term in found.terms),
    )
    assert {Decimal(number or "0").as_tuple().exponent for number in kept} == {step}


def test_the_guards_child_says_the_same() -> None:
    with Guard() as guard:
        assert measuring.hook_position([STEEP, SLANTING], SetUp(), guard.run) == measured([STEEP, SLANTING])


def test_a_photo_that_is_stored_on_its_side_is_measured_upright() -> None:
    found = measured([taken("E003", above(4.0), turned=True)])
    assert float(found.measurement.value or 0) == pytest.approx(120.0 + GAPS, abs=0.1)
    assert (found.marks["E003"].width, found.marks["E003"].height) == (1600, 1200)


def test_two_views_from_apart_decide_without_a_word_of_slant() -> None:
    found = measured([STEEP, SLANTING]).measurement
    assert [view.exhibit for view in found.views] == ["E003", "E004"]
    assert found.decides
    assert found.plane_margin == "0.000"
    assert found.warnings == ()


def test_a_slanting_view_alone_does_not_decide() -> None:
    found = measured([SLANTING]).measurement
    assert not found.decides
    assert codes(found) == [("view-oblique", "E004")]


def test_a_photo_that_cannot_be_measured_is_left_out_and_told() -> None:
    found = measured([EMPTY, STEEP]).measurement
    assert found.state == "measured"
    assert found.exhibits == ("E009", "E003")
    assert [view.exhibit for view in found.views] == ["E003"]
    assert codes(found) == [("card-not-seen", "E009")]


def test_where_none_can_be_measured_the_first_reason_stands() -> None:
    far = taken("E010", above(4.0, distance=950.0))
    found = measured([EMPTY, far])
    assert found.measurement.state == "unmeasurable"
    assert found.measurement.reason is not None
    assert (found.measurement.reason.code, found.measurement.reason.exhibit) == ("card-not-seen", "E009")
    assert codes(found.measurement) == [("card-too-small", "E010")]
    assert (found.measurement.value, found.measurement.views, found.marks) == (None, (), {})


def test_views_of_two_set_ups_give_no_value() -> None:
    other = taken("E005", above(-4.0), Laid(distance=123.0))
    found = measured([STEEP, other]).measurement
    assert found.reason is not None
    assert (found.reason.code, found.reason.exhibit) == ("views-disagree", None)


def test_the_same_picture_saved_again_is_told() -> None:
    """Its bytes differ; its camera stands where no hand would hold it again."""
    again = taken("E005", above(4.0), quality=80)
    assert codes(measured([STEEP, again]).measurement) == [("views-alike", "E005")]


def test_points_take_the_place_of_the_slider() -> None:
    eye = above(4.0)
    first, second = eye.pixels(np.array([(119.0, 64.0), (119.0, 126.0)]))
    spots = tuple((Fraction(f"{x:.2f}"), Fraction(f"{y:.2f}")) for x, y in (first, second))
    found = measured([taken("E003", eye, Laid(slider=False))], SetUp(points=(spots[0], spots[1]))).measurement
    assert found.method == "gauge-card-points/1"
    assert float(found.value or 0) == pytest.approx(119.0 + GAPS / 2, abs=0.1)
    assert found.views[0].scale_disagreement is None
    assert codes(found) == [("points-clicked", None)]


def test_a_given_lens_is_used_and_named() -> None:
    found = measured([STEEP], SetUp(focal_35mm=Fraction(52))).measurement
    assert found.views[0].focal == "given"
    assert float(found.views[0].camera_height) == pytest.approx(2 * 419, rel=0.05)


def test_limits_are_marked_where_the_front_would_be() -> None:
    eye = above(4.0)
    marks = measured([STEEP], SetUp(limits=LIMITS)).marks["E003"]
    assert sorted(marks.limits) == ["high", "low"]
    # the drawn value has the usual gaps on top of what the front edge shows
    expected = eye.pixels(np.array([(118.0 - GAPS, 62.0), (118.0 - GAPS, 96.0)]))
    assert np.array(marks.limits["low"], dtype=float) == pytest.approx(expected, abs=0.5)
    assert np.array(marks.datum, dtype=float) == pytest.approx(
        eye.pixels(np.array([(0.0, 62.0), (0.0, 96.0)])), abs=0.5
    )
    assert len(marks.tags) == 13


def test_an_overlay_shows_the_part_with_the_card() -> None:
    found = measured([STEEP], SetUp(limits=LIMITS))
    for media_type, kind in (("image/jpeg", "JPEG"), ("image/png", "PNG")):
        data = measuring.overlay(STEEP, found.marks["E003"], ["120.16 mm \u00b1 0.42 mm"], media_type, call)  # type: ignore[arg-type]
        picture = Image.open(io.BytesIO(data))
        assert picture.format == kind
        assert not picture.getexif()
    pixels = np.asarray(picture.convert("RGB"), dtype=int)
    for colour in ((255, 210, 0), (255, 60, 60), (90, 235, 120), (0, 190, 255)):
        assert (np.abs(pixels - np.array(colour)).max(axis=2) < 40).any(), colour
    assert pixels[4, 4].tolist() == [28, 35, 41]


def test_the_profile_gives_height_offset_and_limits() -> None:
    text = (DEMO / "job" / "profile.yaml").read_text(encoding="utf-8")
    for old, new in (
        ("contact_height: 6 mm", "contact_height: 2 mm"),
        ("contact_height_uncertainty: 1 mm", "contact_height_uncertainty: 0.6 mm"),
        ("offset_to_functional_face: 0 mm", "offset_to_functional_face: 1/4 in"),
    ):
        text = text.replace(old, new)
    setup = measuring.of_profile(read_profile(text.encode()).profile)
    # the profile states an expanded uncertainty
    expected = SetUp(
        height=Fraction(2), height_uncertainty=Fraction(3, 10), offset=Fraction(635, 100), limits=LIMITS
    )
    assert setup == expected


def test_the_same_photo_twice_is_refused() -> None:
    with pytest.raises(UsageError) as refused:
        measured([STEEP, replace(STEEP, exhibit="E004", where="photos/E004.jpg")])
    (problem,) = refused.value.problems
    assert (problem.code, problem.where) == ("measure-photo-twice", "photos/E004.jpg")
    assert problem.parameters == {"other": "photos/E003.jpg"}


def test_too_many_photos_are_refused() -> None:
    photos = [replace(STEEP, exhibit=f"E{number:03}", data=bytes([number])) for number in range(9)]
    with pytest.raises(UsageError) as refused:
        measured(photos)
    assert refused.value.problems[0].code == "measure-photos-many"


def test_points_belong_to_one_photo() -> None:
    spots = ((Fraction(1), Fraction(1)), (Fraction(2), Fraction(2)))
    with pytest.raises(UsageError) as refused:
        measured([STEEP, SLANTING], SetUp(points=spots))
    assert refused.value.problems[0].code == "measure-points-photos"


@pytest.mark.parametrize(
    ("data", "code"),
    [
        ((DEMO / "job" / "documents" / "E009.pdf").read_bytes(), "measure-not-photo"),
        (b"time;force\n1;2\n", "measure-not-photo"),
        (b"", "exhibit-empty"),
        (b"\x00" * 400, "exhibit-unknown"),
        (STEEP.data[:20_000], "exhibit-truncated"),
    ],
)
def test_what_is_no_photo_is_an_input_error(data: bytes, code: str) -> None:
    with pytest.raises(InputError) as refused:
        measured([STEEP, replace(STEEP, exhibit="E004", data=data, where="photos/E004.jpg")])
    (problem,) = refused.value.problems
    assert (problem.code, problem.where) == (code, "photos/E004.jpg")


@pytest.mark.parametrize("typed", ["", "1,2,3", "1,2,3,x", "1,2,3,4,5", "nan,1,2,3", "1e3,1,2,3"])
def test_points_are_four_decimals(typed: str) -> None:
    with pytest.raises(ValueError, match=r".*"):
        measuring.read_points(typed)


def test_points_may_have_decimals() -> None:
    assert measuring.read_points("1.5, 2,3,4") == ((Fraction(3, 2), Fraction(2)), (Fraction(3), Fraction(4)))


@pytest.mark.parametrize("gone", ["value", "expanded_uncertainty", "plane_margin"])
def test_a_value_without_its_uncertainty_is_no_measurement(gone: str) -> None:
    document = measured([STEEP]).measurement.document()
    del document[gone]
    with pytest.raises(ValidationError) as refused:
        Measurement.read(document)
    assert refused.value.errors()[0]["ctx"]["code"] == "measurement-incomplete"


def test_every_reason_and_notice_has_words_and_what_to_do() -> None:
    sources = sorted((Path(measuring.__file__).parent / "measure").glob("*.py"))
    found = {code for path in sources for code in RAISED.findall(path.read_text(encoding="utf-8"))}
    assert len(found) > 20
    assert [code for code in sorted(found) if not (knows(code) and hint(code).endswith("."))] == []


def test_every_term_has_a_name() -> None:
    source = "".join(
        (Path(measuring.__file__).parent / "measure" / name).read_text(encoding="utf-8")
        for name in ("hook.py", "points.py")
    )
    names = set(re.findall(r'Term\(\s*"([a-z-]+)"', source))
    assert len(names) > 6
    assert [name for name in sorted(names) if not knows(f"measure-term-{name}")] == []
