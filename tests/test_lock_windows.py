"""Photos of lock windows through the guard's reader, the job's own choice of photos, and the manifest."""

import io
from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from PIL import Image
from pydantic import ValidationError

from evidence import gauging, measuring
from evidence.errors import InputError
from evidence.exhibits import call
from evidence.guard import Guard
from evidence.measuring import Taken, WindowPhoto
from evidence.model.exhibit import Item
from evidence.model.measurement import WindowReading
from evidence.model.names import Role
from evidence.model.profile import Profile, Window
from evidence.model.record import JobRecord
from tests.conftest import DEMO
from tests.exhibits.files import linear_profile
from tests.judge.builders import POSITION, entry, photo, profile, record
from tests.scene.demo import photos_of_0417
from tests.scene.fittings import WINDOW_SIZE_MM, window_centre
from tests.scene.geometry import Camera, Vec, project
from tests.scene.hook_view import HOOK_V_MM, HOOK_WIDTH_MM

WINDOW = Window.read({"id": "w", "shows": "colour", "locked": "#265cb2", "open": "#eca020", "page": "16"})
LOCKED = ("E005", "372,404,496,415,491,467,362,455", "597,441,639,445,640,469,597,465")
OPEN = ("E004", "364,416,491,414,492,465,359,467", "594,430,636,429,640,452,597,452")
FAULTY_OPEN = ("E005", "319,437,488,436,489,473,312,475", "626,447,682,447,686,464,629,464")
FAULTY_LOCKED = ("E006", "362,435,486,418,493,467,363,486", "586,421,626,415,632,437,591,443")
FAULTY_OTHER = ("E007", "375,394,498,413,490,463,360,443", "601,445,644,452,644,476,599,469")
ORIENTATION = 0x0112


def taken(marked: tuple[str, str, str], job: str = "job", name: str | None = None) -> WindowPhoto:
    exhibit, frame, grey = marked
    data = (DEMO / job / "photos" / f"{exhibit}.jpg").read_bytes()
    return WindowPhoto(Taken(name or exhibit, data, f"photos/{exhibit}.jpg"), frame, grey)


def with_data(one: WindowPhoto, data: bytes) -> WindowPhoto:
    return replace(one, taken=replace(one.taken, data=data))


def read(locked: WindowPhoto | None, opened: WindowPhoto | None = None) -> dict[str, WindowReading]:
    return measuring.lock_window(WINDOW, locked, opened, call)


def why(reading: WindowReading) -> str:
    assert reading.reason is not None
    return reading.reason.code


@pytest.mark.parametrize(
    ("job", "locked", "opened"),
    [("job", LOCKED, OPEN), ("job-with-faults", FAULTY_LOCKED, FAULTY_OPEN)],
)
def test_the_photos_show_what_the_scene_was_made_with(
    job: str, locked: tuple[str, str, str], opened: tuple[str, str, str]
) -> None:
    """Blue where the scene was rendered locked, amber where open; computed independently by the renderer."""
    found = read(taken(locked, job), taken(opened, job))
    first, second = found[locked[0]], found[opened[0]]

    assert (first.state, second.state) == ("locked", "open")
    assert (first.exhibits, first.open_exhibit) == ((locked[0], opened[0]), opened[0])
    assert (second.exhibits, second.open_exhibit) == ((opened[0],), None)
    for reading, own in ((first, "locked"), (second, "open")):
        assert reading.window == "w"
        assert reading.fractions is not None
        shares = reading.fractions.document()
        assert float(shares[own]) > 0.95
        assert sum(map(float, shares.values())) == pytest.approx(1.0, abs=0.002)
        assert WindowReading.read(reading.document()) == reading


def test_an_open_photo_alone_shows_open() -> None:
    assert read(None, taken(FAULTY_OTHER, "job-with-faults"))["E007"].state == "open"


def test_a_locked_photo_alone_decides_nothing_and_keeps_its_shares() -> None:
    found = read(taken(LOCKED))["E005"]

    assert (found.state, why(found)) == ("undecided", "window-open-photo-missing")
    assert found.fractions is not None
    assert float(found.fractions.locked) > 0.95


def test_one_file_for_both_states_decides_nothing() -> None:
    found = read(taken(LOCKED), taken(LOCKED, name="E004"))

    assert why(found["E005"]) == "window-open-photo-unclear"


def test_the_guards_child_says_the_same() -> None:
    with Guard() as guard:
        assert measuring.lock_window(WINDOW, taken(LOCKED), taken(OPEN), guard.run) == read(
            taken(LOCKED), taken(OPEN)
        )


def again(one: WindowPhoto, change: Callable[[Image.Image], Image.Image], **stored: Any) -> WindowPhoto:
    """The photo stored once more, losslessly."""
    out = io.BytesIO()
    change(Image.open(io.BytesIO(one.taken.data)).convert("RGB")).save(out, "PNG", **stored)
    return with_data(one, out.getvalue())


def test_a_photo_that_is_stored_on_its_side_is_read_upright() -> None:
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    turned = again(taken(OPEN), lambda image: image.transpose(Image.Transpose.ROTATE_90), exif=exif)
    found = read(None, turned)["E004"]

    assert found == read(None, again(taken(OPEN), lambda image: image))["E004"]
    assert found.state == "open"


def test_a_colour_profile_is_applied() -> None:
    """Codes on a linear scale mean the same colours with the profile that says so, and others without it."""
    scale = np.arange(256) / 255
    # from memory of IEC 61966-2-1
    light = np.where(scale <= 0.04045, scale / 12.92, ((scale + 0.055) / 1.055) ** 2.4)
    table = [round(255 * float(one)) for one in light] * 3
    linear = again(taken(OPEN), lambda image: image.point(table), icc_profile=linear_profile())
    bare = again(taken(OPEN), lambda image: image.point(table))

    assert read(None, linear)["E004"].state == "open"
    assert read(None, bare)["E004"].state == "undecided"


def per_mille(camera: Camera, corners: tuple[Vec, ...]) -> str:
    places = [project(camera, corner) for corner in corners]
    sides = camera.size
    return ",".join(
        str(round((place[axis] + 0.5) / sides[axis] * 1000)) for place in places for axis in (0, 1)
    )


def test_the_patches_of_a_gauge_strip_balance_the_light() -> None:
    """The hook's own photo shows the strip and, behind the hook and out of focus, the window of the open latch."""
    camera = photos_of_0417()["E003"].scene().camera
    x, y, z = window_centre((120.3 + 230.0, -(HOOK_V_MM + HOOK_WIDTH_MM) + HOOK_WIDTH_MM / 2.0, 0.0))
    wide, high = WINDOW_SIZE_MM[0] / 2 - 2, WINDOW_SIZE_MM[1] / 2 - 2
    corners = (
        (x + high, y + wide, z + 3.5),
        (x + high, y - wide, z + 3.5),
        (x - high, y - wide, z + 3.5),
        (x - high, y + wide, z + 3.5),
    )
    marked = taken(("E003", per_mille(camera, corners), ""))
    found = read(None, replace(marked, grey=None))["E003"]

    assert found.fractions is not None  # without the strip it is refused for want of a neutral patch
    assert float(found.fractions.open) > 0.6
    assert float(found.fractions.locked) == 0


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"grey": None}, "neutral-missing"),
        ({"grey": "10,10,11,10,11,11,10,11"}, "neutral-too-small"),
        ({"frame": "400,430,405,430,405,435,400,435"}, "window-too-small"),
        ({"frame": "10,10,20,10,10,20,20,20"}, "window-frame-wrong"),
        ({"grey": "10,10,20,10,10,20,20,20"}, "window-frame-wrong"),
        ({"frame": "640,200,700,200,700,260,640,260"}, "window-unclear"),
    ],
)
def test_what_cannot_be_read_says_why(changes: dict[str, str | None], code: str) -> None:
    found = read(None, replace(taken(OPEN), **changes))["E004"]  # type: ignore[arg-type]

    assert (found.state, why(found)) == ("undecided", code)


def test_both_patches_are_taken_for_what_they_are() -> None:
    """A patch that is named white and is grey gives another gain: the window comes out too bright for its colour."""
    one = taken(LOCKED)
    opened = taken(OPEN)
    found = read(replace(one, grey=None, white=one.grey), opened)["E005"]

    assert read(one, opened)["E005"].state == "locked"
    assert found.state == "undecided"


def test_what_is_no_photo_is_refused() -> None:
    with pytest.raises(InputError) as refused:
        read(with_data(taken(LOCKED), b"%PDF-1.7\n"))
    assert refused.value.problems[0].code == "measure-not-photo"


def test_a_window_without_colours_or_photos_is_a_fault_of_the_program() -> None:
    pin = Window.read({"id": "w", "shows": "pin", "page": "16"})
    for window, one in ((pin, taken(LOCKED)), (WINDOW, None)):
        with pytest.raises(ValueError, match="w"):
            measuring.lock_window(window, one, None, call)


READING = {
    "state": "locked",
    "window": "w",
    "fractions": {"locked": "0.970", "open": "0.000", "unknown": "0.030"},
    "exhibits": ["E005", "E004"],
    "open_exhibit": "E004",
}


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"fractions": None}, "measurement-incomplete"),
        ({"reason": {"code": "window-between"}}, "measurement-incomplete"),
        ({"state": "undecided"}, "measurement-incomplete"),
        ({"open_exhibit": None}, "measurement-incomplete"),
        ({"exhibits": ["E005"]}, "measurement-incomplete"),
        ({"fractions": {"locked": "0.97", "open": "0.000", "unknown": "0.030"}}, "decimal-malformed"),
        ({"fractions": {"locked": "1.001", "open": "0.000", "unknown": "0.000"}}, "decimal-malformed"),
    ],
)
def test_a_reading_is_whole(changes: dict[str, Any], code: str) -> None:
    assert WindowReading.read(READING).state == "locked"
    with pytest.raises(ValidationError) as refused:
        WindowReading.read({**READING, **changes})
    assert refused.value.errors()[0]["ctx"]["code"] == code


def with_windows(*windows: Window) -> Profile:
    return Profile.read({**profile().document(), "windows": [each.document() for each in windows]})


def marked(
    exhibit: str, role: str, subject: str = "p1", *, frame: bool = True, white: bool = False
) -> dict[str, Any]:
    source = {"lock-window-locked": LOCKED, "lock-window-open": OPEN}[role]
    patches = {"grey": source[2], **({"white": source[2]} if white else {})}
    fields = {"frame": source[1], "neutral": patches} if frame else {}
    return {**entry(exhibit, role, subject, f"photos/{exhibit}.jpg"), **fields}


class Files:
    """The files of a record: the demonstration's photo of the role."""

    def __init__(self, the_record: JobRecord) -> None:
        self.roles = {each.id: each.role for each in the_record.exhibits}

    def __call__(self, exhibit: str) -> tuple[bytes, str]:
        """Bytes and name."""
        name = "E005" if self.roles[exhibit] == Role.LOCK_WINDOW_LOCKED else "E004"
        return (DEMO / "job" / "photos" / f"{name}.jpg").read_bytes(), f"{exhibit}.jpg"


def of_windows(
    *entries: Mapping[str, Any],
    windows: tuple[Window, ...] = (WINDOW,),
    positions: tuple[Any, ...] = (POSITION,),
) -> dict[str, WindowReading]:
    the_record = record(exhibits=list(entries), positions=list(positions))
    items: dict[str, Item] = {each["id"]: photo(each["id"]) for each in entries}
    return gauging.of_windows(the_record, with_windows(*windows), items, Files(the_record), call)


def test_a_locked_photo_is_held_against_the_last_open_one_of_its_place() -> None:
    found = of_windows(
        marked("E001", "lock-window-locked"),
        marked("E002", "lock-window-open"),
        marked("E003", "lock-window-open"),
        marked("E004", "lock-window-open", frame=False),
    )

    assert sorted(found) == ["E001", "E002", "E003"]
    assert found["E001"].open_exhibit == "E003"
    assert {name: each.state for name, each in found.items()} == {
        "E001": "locked",
        "E002": "open",
        "E003": "open",
    }


def test_what_is_filed_for_the_vehicle_is_of_its_only_place() -> None:
    entries = (marked("E001", "lock-window-locked"), marked("E002", "lock-window-open", "vehicle"))
    two = (POSITION, {**POSITION, "id": "p2"})

    assert of_windows(*entries)["E001"].open_exhibit == "E002"
    assert of_windows(*entries, positions=two)["E001"].open_exhibit is None


def test_nothing_is_read_without_frame_or_colour_or_with_several_windows() -> None:
    pin = Window.read({"id": "w", "shows": "pin", "page": "16"})
    other = Window.read({**WINDOW.document(), "id": "x"})
    entries = (marked("E001", "lock-window-locked"), marked("E002", "lock-window-open"))

    assert of_windows(marked("E001", "lock-window-locked", frame=False)) == {}
    assert of_windows(*entries, windows=()) == {}
    assert of_windows(*entries, windows=(pin,)) == {}
    assert of_windows(*entries, windows=(WINDOW, other)) == {}


def test_a_file_that_no_reader_takes_gives_no_reading() -> None:
    the_record = record(exhibits=[marked("E001", "lock-window-open")])
    found = gauging.of_windows(
        the_record, with_windows(WINDOW), {"E001": photo("E001")}, lambda name: (b"\xff\xd8\xff", name), call
    )

    assert found == {}


def test_shares_are_decimal_text() -> None:
    found = read(None, taken(OPEN))["E004"].fractions
    assert found is not None
    assert Fraction(found.open) > Fraction(9, 10)
