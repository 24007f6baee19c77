"""The demonstration photos: same bytes each time, true to scale, and saying what they are meant to say."""

from __future__ import annotations

import hashlib
import io

import cv2
import numpy as np
import pytest
import zxingcpp
from numpy.typing import NDArray
from PIL import Image, ImageOps

from tests.scene import demo
from tests.scene.geometry import Camera, Vec, add, project, scale, sub
from tests.scene.hook_view import HookSetup, camera_above_card, card_point, hook_scene
from tests.scene.print_art import SLIDER_QUIET_MM, SLIDER_SIZE_MM, SLIDER_TAG_ID, TAG_MM, card_tag_corner
from tests.scene.scene import render
from tests.scene.views import grey_patch_corners, window_corners

Floats = NDArray[np.float64]
Grey = NDArray[np.uint8]
SMALL = (1600, 1200)
CAP_BYTES = {(4000, 3000): 2_200_000, (2000, 1500): 350_000, (1600, 1200): 350_000}
HOOK_PHOTOS = [("AMB-0417", "E003", 120.3), ("AMB-0520", "E003", 120.1), ("AMB-0520", "E004", 123.8)]


photo = demo.rendered


def grey_of(data: bytes) -> Grey:
    """Decode a photo as its viewer sees it."""
    return np.array(ImageOps.exif_transpose(Image.open(io.BytesIO(data))).convert("L"), dtype=np.uint8)


def codes_of(data: bytes) -> set[str]:
    """Read every QR code with a reader that shares nothing with the renderer."""
    return {
        code.text
        for code in zxingcpp.read_barcodes(grey_of(data))
        if code.format == zxingcpp.BarcodeFormat.QRCode
    }


def tags_of(grey: Grey) -> dict[int, Floats]:
    """Find AprilTags with the vision library's own detector, corners from the upper left one clockwise."""
    options = cv2.aruco.DetectorParameters()
    options.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    corners, ids, _ = cv2.aruco.ArucoDetector(dictionary, options).detectMarkers(grey)
    assert ids is not None, "no tag found"
    return {
        int(tag): np.asarray(quad, dtype=np.float64).reshape(4, 2)
        for tag, quad in zip(ids.ravel(), corners, strict=True)
    }


def tag_square(u: float, v: float) -> list[tuple[float, float]]:
    """Return the corners of a tag on paper, mm, clockwise from the upper left one."""
    return [(u, v), (u + TAG_MM, v), (u + TAG_MM, v + TAG_MM), (u, v + TAG_MM)]


def measured_distance(grey: Grey) -> float:
    """Measure u of the slider's front edge: homography from the card's twelve tags, then the slider's own tag."""
    tags = tags_of(grey)
    seen = np.concatenate([tags[tag] for tag in range(12)])
    printed = np.array(
        [corner for tag in range(12) for corner in tag_square(*card_tag_corner(tag))], dtype=np.float64
    )
    matrix, _ = cv2.findHomography(seen, printed)
    on_plane = cv2.perspectiveTransform(tags[SLIDER_TAG_ID].reshape(1, 4, 2), matrix).reshape(4, 2)
    front_margin = SLIDER_SIZE_MM - SLIDER_QUIET_MM - TAG_MM
    return float(on_plane[1:3, 0].mean()) + front_margin


@pytest.mark.parametrize(("job", "name", "truth"), HOOK_PHOTOS)
def test_hook_photo_shows_all_tags_and_the_true_distance(job: str, name: str, truth: float) -> None:
    """Judged by an outside reader.

    computed independently with cv2.aruco and cv2.findHomography.
    """
    grey = grey_of(photo(job, name))
    assert set(tags_of(grey)) == {*range(12), SLIDER_TAG_ID}
    assert measured_distance(grey) == pytest.approx(truth, abs=1.0)


def small_hook_scene(setup: HookSetup, tilt_degrees: float) -> Grey:
    """Render a small measuring photo."""
    picture = render(hook_scene(setup, camera_above_card(420.0, tilt_degrees, SMALL)))
    return np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), dtype=np.uint8)


@pytest.mark.parametrize("truth", [96.4, 131.7])
def test_distance_is_a_parameter_of_the_scene(truth: float) -> None:
    """Judged by an outside reader.

    computed independently with cv2.aruco and cv2.findHomography.
    """
    assert measured_distance(small_hook_scene(HookSetup(truth, "p1", "GC-T"), 8.0)) == pytest.approx(
        truth, abs=0.5
    )


def test_a_lifted_slider_shifts_by_the_tangent_of_the_obliqueness() -> None:
    """Judged by an outside reader.

    computed independently with the shift h x tan(view angle at the slider), by similar triangles.
    """
    lift, tilt = 4.0, 30.0
    level = measured_distance(small_hook_scene(HookSetup(120.0, "p1", "GC-T"), tilt))
    lifted = measured_distance(small_hook_scene(HookSetup(120.0, "p1", "GC-T", slider_lift_mm=lift), tilt))
    camera = camera_above_card(420.0, tilt, SMALL)
    away, height = 120.0 - camera.position[0], camera.position[2] - 3.0
    assert lifted - level == pytest.approx(lift * away / (height - lift), abs=0.35)


def test_projection_agrees_with_the_vision_library() -> None:
    """Judged by an outside reader.

    computed independently with cv2.projectPoints.
    """
    camera = Camera((-310.0, 120.0, 540.0), (80.0, -40.0, 10.0), (1.0, 0.0, 0.0), 28.0, (2000, 1500))
    points = [card_point(u, v, z) for u in (0.0, 90.0, 180.0) for v in (0.0, 60.0) for z in (0.0, 25.0)]
    rotation = np.array(camera.axes(), dtype=np.float64)
    shift = -rotation @ np.array(camera.position)
    lens = np.array(
        [
            [camera.focal_px, 0.0, camera.centre_px[0]],
            [0.0, camera.focal_px, camera.centre_px[1]],
            [0.0, 0.0, 1.0],
        ]
    )
    expected, _ = cv2.projectPoints(np.array(points), cv2.Rodrigues(rotation)[0], shift, lens, np.zeros(4))
    assert np.allclose([project(camera, point) for point in points], expected.reshape(-1, 2), atol=1e-6)


def test_focal_length_is_taken_by_the_diagonal() -> None:
    """A lens as long as the full-frame diagonal covers as many pixels as the picture's diagonal.

    from memory of CIPA DC-008 (Exif 2.32), FocalLengthIn35mmFilm; full frame is 36 x 24 mm.
    """
    camera = Camera((0.0, 0.0, 1000.0), (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 43.2666, (4000, 3000))
    assert camera.focal_px == pytest.approx(5000.0, abs=0.1)


def test_projecting_a_point_behind_the_camera_is_refused() -> None:
    """A point behind the camera has no pixel."""
    camera = Camera((0.0, 0.0, 100.0), (0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    with pytest.raises(ValueError, match="behind the camera"):
        project(camera, (0.0, 0.0, 200.0))


def test_rendered_tags_lie_where_projection_puts_them() -> None:
    """The picture and the projection of the truth agree to half a pixel: no shift between texture and geometry."""
    camera = camera_above_card(420.0, 12.0, SMALL)
    grey = small_hook_scene(HookSetup(120.0, "p1", "GC-T"), 12.0)
    tags = tags_of(grey)
    errors = []
    for tag in range(12):
        truth = [project(camera, card_point(u, v, 3.0)) for u, v in tag_square(*card_tag_corner(tag))]
        errors.append(tags[tag] - np.array(truth))
    stacked = np.concatenate(errors)
    assert np.abs(stacked.mean(axis=0)).max() < 0.25
    assert np.sqrt((stacked**2).sum(axis=1)).max() < 1.5


@pytest.mark.parametrize(("job", "name"), [("AMB-0417", "E007"), ("AMB-0520", "E003")])
def test_the_same_call_gives_the_same_bytes(job: str, name: str) -> None:
    """Nothing but the arguments decides a photo."""
    again = demo.JOBS[job]()[name].bytes()
    assert hashlib.sha256(again).hexdigest() == hashlib.sha256(photo(job, name)).hexdigest()


@pytest.mark.parametrize(
    ("job", "name", "colour"),
    [
        ("AMB-0417", "E004", (236, 160, 32)),
        ("AMB-0417", "E005", (38, 92, 178)),
        ("AMB-0520", "E006", (38, 92, 178)),
        ("AMB-0520", "E007", (236, 160, 32)),
    ],
)
def test_lock_window_has_its_colour_once_balanced_on_the_grey_patch(
    job: str, name: str, colour: tuple[int, int, int]
) -> None:
    """Cast and brightness of the light cancel; computed independently with a power law of 2.2 for sRGB."""
    camera = demo.JOBS[job]()[name].scene().camera
    seen = np.array(ImageOps.exif_transpose(Image.open(io.BytesIO(photo(job, name)))), dtype=np.float64)
    window, patch = (
        np.mean([seen[round(y), round(x)] for x, y in inner_pixels(camera, corners)], axis=0) ** 2.2
        for corners in (window_corners(), grey_patch_corners())
    )
    balanced = (window / patch) ** (1 / 2.2) * 122.0
    assert np.abs(balanced - np.array(colour)).max() < 9.0


def inner_pixels(camera: Camera, corners: tuple[Vec, Vec, Vec, Vec]) -> list[tuple[float, float]]:
    """Return pixels of a grid over the middle of a rectangle, upper left corner first, clockwise."""
    first, second, _, last = corners
    shares = np.linspace(0.3, 0.7, 9)
    along, down = sub(second, first), sub(last, first)
    return [project(camera, add(first, add(scale(along, i), scale(down, j)))) for i in shares for j in shares]


def test_another_seed_gives_another_picture() -> None:
    """The seed decides dirt and noise, so equality above means something."""
    first, second = (small_hook_scene(HookSetup(120.0, "p1", "GC-T", seed=seed), 8.0) for seed in (1, 2))
    assert not np.array_equal(first, second)


@pytest.mark.parametrize(
    ("job", "name", "payload"),
    [
        ("AMB-0417", "E006", "HERON 2 SN 0012"),
        ("AMB-0417", "E007", "HERON CARRIER SN HC-0889"),
        ("AMB-0520", "E008", "HERON 2 SN 0047"),
        ("AMB-0520", "E009", "HERON 2 SN 0049"),
        ("AMB-0520", "E010", "HERON CARRIER SN HC-0931"),
        ("AMB-0520", "E011", "HERON CARRIER SN HC-0932"),
    ],
)
def test_plate_codes_say_the_serial(job: str, name: str, payload: str) -> None:
    """Judged by an outside reader.

    computed independently with zxing-cpp.
    """
    assert codes_of(photo(job, name)) == {payload}


@pytest.mark.parametrize(
    ("job", "name", "ticket", "plate"),
    [
        ("AMB-0417", "E001", "sillmark:AMB-0417:p1:7k4q2m", "VIN 0BW2231TARN000417 BUILD BW-2231"),
        ("AMB-0520", "E001", "sillmark:AMB-0520:p1:c9x3tf", "VIN 0BW2240T4RN000520 BUILD BW-2240"),
    ],
)
def test_the_first_photo_ties_ticket_and_vehicle_together(
    job: str, name: str, ticket: str, plate: str
) -> None:
    """Judged by an outside reader.

    computed independently with zxing-cpp.
    """
    assert codes_of(photo(job, name)) == {ticket, plate}


@pytest.mark.parametrize(
    ("job", "name", "position"),
    [
        ("AMB-0417", "E003", "p1"),
        ("AMB-0417", "E004", "p1"),
        ("AMB-0417", "E005", "p1"),
        ("AMB-0520", "E004", "p2"),
        ("AMB-0520", "E005", "p1"),
        ("AMB-0520", "E007", "p2"),
    ],
)
def test_key_photos_carry_the_job_ticket(job: str, name: str, position: str) -> None:
    """Judged by an outside reader.

    computed independently with zxing-cpp.
    """
    (text,) = codes_of(photo(job, name))
    assert text.split(":")[:3] == ["sillmark", job, position]


def check_digit(vin: str) -> str:
    """Work out position 9 of a VIN (from memory of 49 CFR 565.15(c), its tables of letter values and weights)."""
    letters = {
        letter: value for row in ("ABCDEFGH", "JKLMN", "P", "R") for value, letter in enumerate(row, 1)
    }
    letters |= {"P": 7, "R": 9} | {letter: value for value, letter in enumerate("STUVWXYZ", 2)}
    weights = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
    total = sum(
        weight * (int(sign) if sign.isdigit() else letters[sign])
        for sign, weight in zip(vin, weights, strict=True)
    )
    return "0123456789X"[total % 11]


def test_the_north_american_vin_has_its_check_digit() -> None:
    """The second vehicle's position 9 follows the rule; the reckoning is first tried on seventeen ones."""
    assert check_digit("1" * 17) == "1"  # from memory of 49 CFR 565: the usual test number
    assert demo.AMB_0520.vin[8] == check_digit(demo.AMB_0520.vin)


EXPECTED_TIMES = {
    "AMB-0417": {
        "E001": "2026:03:04 08:12",
        "E002": "2026:03:04 08:20",
        "E003": "2026:03:04 14:44",
        "E004": "2026:03:05 15:02",
        "E005": "2026:03:05 15:05",
        "E006": "2026:03:04 09:00",
        "E007": "2026:03:05 14:40",
        "E008": "2026:03:04 14:20",
    },
    "AMB-0520": {
        "E001": "2026:05:11 08:05",
        "E002": "2026:05:11 08:15",
        "E003": "2026:05:11 13:40",
        "E004": "2026:05:19 10:10",
        "E005": "2026:05:12 14:01",
        "E006": "2026:05:12 14:03",
        "E007": "2026:05:12 14:20",
        "E008": "2026:05:11 08:40",
        "E009": "2026:05:11 08:50",
        "E010": "2026:05:12 13:30",
        "E011": "2026:05:12 13:35",
        "E012": "2026:05:11 12:50",
    },
}
TURNED = {("AMB-0417", "E006"), ("AMB-0520", "E005")}


@pytest.mark.parametrize("job", sorted(EXPECTED_TIMES))
def test_camera_claims_and_sizes(job: str) -> None:
    """Read the metadata back; tag numbers from memory of CIPA DC-008 (Exif 2.32)."""
    with_claims = {name for name, each in demo.JOBS[job]().items() if each.claims is not None}
    assert with_claims == set(EXPECTED_TIMES[job])
    total = 0
    for name, minute in EXPECTED_TIMES[job].items():
        data = photo(job, name)
        total += len(data)
        image = Image.open(io.BytesIO(data))
        exif = image.getexif()
        block = exif.get_ifd(0x8769)
        assert (exif[0x010F], exif[0x0110]) == ("Demo", "Rendered scene")
        assert block[0x9003].startswith(minute), name
        assert block[0x9011] == ("+01:00" if job == "AMB-0417" else "-05:00")
        assert (block[0xA405], float(block[0x920A])) == (26, 5.4)
        assert exif[0x0112] == (6 if (job, name) in TURNED else 1)
        assert (block[0xA002], block[0xA003]) == image.size
        assert len(data) <= CAP_BYTES[image.size], name
    assert total < 5_000_000


def test_the_copy_of_a_messenger_has_lost_what_the_camera_said() -> None:
    """Only the overview of the second place is one."""
    without = [
        (job, name) for job, make in demo.JOBS.items() for name, each in make().items() if each.claims is None
    ]
    image = Image.open(io.BytesIO(photo("AMB-0520", "E021")))

    assert without == [("AMB-0520", "E021")]
    assert (image.size, dict(image.getexif())) == ((1280, 960), {})
    assert "jfif" in image.info


def test_photos_that_should_be_large_are() -> None:
    """The measuring photo and the overview of the first job have 12 million pixels."""
    for name in ("E002", "E003"):
        assert Image.open(io.BytesIO(photo("AMB-0417", name))).size == (4000, 3000)


def test_one_photo_tells_place_and_camera() -> None:
    """One photo gives redaction something to take out; no other does."""
    telling = []
    for job in sorted(EXPECTED_TIMES):
        for name in sorted(EXPECTED_TIMES[job]):
            exif = Image.open(io.BytesIO(photo(job, name))).getexif()
            if exif.get_ifd(0x8825) or 0xA431 in exif.get_ifd(0x8769):
                telling.append((job, name))
                assert exif.get_ifd(0x8825)[1] == "N"
                assert exif.get_ifd(0x8769)[0xA431] == "DEMO-0001"
    assert telling == [("AMB-0417", "E001")]


def test_turned_photos_are_stored_on_their_side() -> None:
    """A viewer that honours Orientation sees an upright portrait picture."""
    for job, name in sorted(TURNED):
        image = Image.open(io.BytesIO(photo(job, name)))
        upright = ImageOps.exif_transpose(image)
        assert (image.size, upright.size) == ((2000, 1500), (1500, 2000))


def test_the_command_needs_a_folder(capsys: pytest.CaptureFixture[str]) -> None:
    """Without a folder the command says how it is used."""
    assert demo.main([]) == 2
    assert "OUTDIR" in capsys.readouterr().err
