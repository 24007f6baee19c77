"""The demonstration photos of two invented jobs, and a command that writes them.

``python -m tests.scene.demo OUTDIR`` writes OUTDIR/AMB-0417/E001.jpg and so on.

Every serial, time and distance is stated here; AMB-0520 carries planted faults, marked as such.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from tests.scene.bay import Bay, overview_camera, overview_scene
from tests.scene.hook_view import HookSetup, camera_above_card, hook_scene
from tests.scene.labels import Plate, Ticket, stretcher_plate, system_plate, vehicle_plate
from tests.scene.photo import Claims, jpeg
from tests.scene.scene import Scene, render
from tests.scene.solids import Lamp
from tests.scene.textures import VINYL_BLUE_GREY, VINYL_SAND, Colour
from tests.scene.views import (
    Shot,
    lock_window_scene,
    stretcher_label_scene,
    system_label_scene,
    which_vehicle_scene,
    witness_scene,
)

if TYPE_CHECKING:
    from collections.abc import Callable

FULL, LARGE, SMALL = (4000, 3000), (2000, 1500), (1600, 1200)
MESSENGER = (1280, 960)  # a size that messengers send on; common practice, no source
MOST_BYTES_FULL, MOST_BYTES_OTHER = 520_000, 200_000
WARM_LAMP = Lamp(tint=(1.0, 0.96, 0.88))
COOL_LAMP = Lamp(towards=(0.3, -0.4, 0.86), tint=(0.94, 0.99, 1.03))


@dataclass(frozen=True)
class Vehicle:
    """What the photos of one job have in common."""

    job: str
    vin: str
    build: str
    offset: str
    nonce: str
    card_serial: str
    body: Colour
    floor: Colour

    def ticket(self, position: str) -> Ticket:
        """Return the vehicle's job ticket for one stretcher place."""
        return Ticket(self.job, position, self.nonce)

    def shot(self, position: str, seed: int, size: tuple[int, int] = LARGE) -> Shot:
        """Return the settings of a close-up of this vehicle."""
        return Shot(self.ticket(position), size, seed=seed, floor=self.floor)

    @property
    def plate(self) -> Plate:
        """The builder's plate on the door pillar."""
        return vehicle_plate(self.vin, self.build)


@dataclass(frozen=True)
class Photo:
    """One photo: its scene, made only when asked for, and what the camera claims, if anything is left of that."""

    scene: Callable[[], Scene]
    claims: Claims | None

    def bytes(self) -> bytes:
        """Return the photo as JPEG."""
        scene = self.scene()
        full = scene.camera.size[0] * scene.camera.size[1] > LARGE[0] * LARGE[1]
        return jpeg(render(scene), self.claims, MOST_BYTES_FULL if full else MOST_BYTES_OTHER)


AMB_0417 = Vehicle(
    "AMB-0417", "0BW2231TARN000417", "BW-2231", "+01:00", "7k4q2m", "GC-0031", (232, 178, 28), VINYL_BLUE_GREY
)
AMB_0520 = Vehicle(
    "AMB-0520", "0BW2240T4RN000520", "BW-2240", "-05:00", "c9x3tf", "GC-0044", (222, 225, 228), VINYL_SAND
)


def _at(vehicle: Vehicle, taken: str, *, turned: bool = False) -> Claims:
    return Claims(taken, vehicle.offset, turned=turned)


def _hook(distance_mm: float, position: str, car: Vehicle, seed: int) -> HookSetup:
    """A hook as the invented manual has it touched: six millimetres above the card, the slider pushed home by hand."""
    return HookSetup(
        distance_mm,
        position,
        car.card_serial,
        car.ticket(position),
        butt_gap_mm=0.15,
        slider_lift_mm=6.0,
        floor=car.floor,
        seed=seed,
    )


def photos_of_0417() -> dict[str, Photo]:
    """Return the photos of the EN 1789 vehicle: one stretcher place, nothing wrong."""
    car = AMB_0417
    hook = _hook(120.3, "p1", car, 41703)
    bay = Bay(car.ticket("p1"), (("p1", 0.0),), car.body, car.floor, 1.6, seed=41702)
    open_shot, locked_shot = car.shot("p1", 41704), replace(car.shot("p1", 41705), shift=(12.0, -24.0, 16.0))
    label = car.shot("p1", 41706, (LARGE[1], LARGE[0]))
    first = replace(_at(car, "2026-03-04T08:12:11"), place=((54, 0), (2, 0)), body_serial="DEMO-0001")
    return {
        "E001": Photo(lambda: which_vehicle_scene(car.shot("p1", 41701), car.plate, car.body), first),
        "E002": Photo(lambda: overview_scene(bay, overview_camera(FULL)), _at(car, "2026-03-04T08:20:37")),
        "E003": Photo(
            lambda: hook_scene(hook, camera_above_card(600.0, 4.0, FULL)), _at(car, "2026-03-04T14:44:08")
        ),
        "E004": Photo(lambda: lock_window_scene(open_shot, locked=False), _at(car, "2026-03-05T15:02:21")),
        "E005": Photo(lambda: lock_window_scene(locked_shot, locked=True), _at(car, "2026-03-05T15:05:46")),
        "E006": Photo(
            lambda: system_label_scene(label, system_plate("0012")),
            _at(car, "2026-03-04T09:00:03", turned=True),
        ),
        "E007": Photo(
            lambda: stretcher_label_scene(car.shot("p1", 41707, SMALL), stretcher_plate("HC-0889")),
            _at(car, "2026-03-05T14:40:52"),
        ),
        "E008": Photo(lambda: witness_scene(car.shot("p1", 41708)), _at(car, "2026-03-04T14:20:15")),
    }


def photos_of_0520() -> dict[str, Photo]:
    """Return the photos of the SAE vehicle: two stretcher places and four planted faults.

    Planted: E004 was taken days after the work, E009 shows a plate with serial 0049 where 0048 is fitted, no
    photo shows the second place's lock window locked, and E021 came through a messenger.
    """
    return {**_first_day_of_0520(), **_windows_of_0520(), **_labels_of_0520()}


def _first_day_of_0520() -> dict[str, Photo]:
    car = AMB_0520
    bay = Bay(car.ticket("p1"), (("p1", 330.0), ("p2", -330.0)), car.body, car.floor, 1.0, seed=52002)
    first = _hook(120.1, "p1", car, 52003)
    second = replace(_hook(123.8, "p2", car, 52004), tools=False)
    other_bay = replace(bay, ticket=car.ticket("p2"), seed=52021)
    aside = replace(
        overview_camera(MESSENGER), position=(-900.0, -420.0, 1330.0), target=(900.0, -380.0, 60.0)
    )
    late = "2026-05-19T10:10:29"  # planted fault: a week after the work
    return {
        "E001": Photo(
            lambda: which_vehicle_scene(replace(car.shot("p1", 52001), lamp=COOL_LAMP), car.plate, car.body),
            _at(car, "2026-05-11T08:05:40"),
        ),
        "E002": Photo(lambda: overview_scene(bay, overview_camera(LARGE)), _at(car, "2026-05-11T08:15:18")),
        "E003": Photo(
            lambda: hook_scene(first, camera_above_card(580.0, 4.0, LARGE, aside_degrees=3.0), COOL_LAMP),
            _at(car, "2026-05-11T13:40:33"),
        ),
        "E004": Photo(
            lambda: hook_scene(second, camera_above_card(610.0, 5.0, LARGE, aside_degrees=-4.0), WARM_LAMP),
            _at(car, late),
        ),
        "E012": Photo(
            lambda: witness_scene(replace(car.shot("p1", 52012), shift=(0.0, -30.0, 20.0))),
            _at(car, "2026-05-11T12:50:07"),
        ),
        # planted fault: small and without a word of the camera, as a messenger leaves it
        "E021": Photo(lambda: overview_scene(other_bay, aside), None),
    }


def _windows_of_0520() -> dict[str, Photo]:
    car = AMB_0520
    upright = replace(car.shot("p1", 52005, (LARGE[1], LARGE[0])), lamp=WARM_LAMP)
    locked = replace(car.shot("p1", 52006), shift=(0.0, 30.0, 10.0), lamp=WARM_LAMP)
    other = replace(car.shot("p2", 52007), shift=(8.0, -40.0, 0.0), lamp=WARM_LAMP)
    return {
        "E005": Photo(
            lambda: lock_window_scene(upright, locked=False), _at(car, "2026-05-12T14:01:12", turned=True)
        ),
        "E006": Photo(lambda: lock_window_scene(locked, locked=True), _at(car, "2026-05-12T14:03:44")),
        "E007": Photo(lambda: lock_window_scene(other, locked=False), _at(car, "2026-05-12T14:20:09")),
    }


def _labels_of_0520() -> dict[str, Photo]:
    car = AMB_0520
    wrong_serial = "0049"  # planted fault: 0048 is fitted at p2
    systems = (
        ("E008", "p1", "0047", "2026-05-11T08:40:26"),
        ("E009", "p2", wrong_serial, "2026-05-11T08:50:51"),
    )
    stretchers = (
        ("E010", "p1", "HC-0931", "2026-05-12T13:30:05"),
        ("E011", "p2", "HC-0932", "2026-05-12T13:35:38"),
    )
    found = {}
    for index, (name, position, serial, taken) in enumerate(systems):
        shot = replace(
            car.shot(position, 52008 + index, SMALL), shift=(-6.0 * index, 14.0 - 30.0 * index, 8.0)
        )
        found[name] = Photo(_later(system_label_scene, shot, system_plate(serial)), _at(car, taken))
    for index, (name, position, serial, taken) in enumerate(stretchers):
        shot = replace(car.shot(position, 52010 + index, SMALL), shift=(0.0, -34.0 * index, 6.0))
        found[name] = Photo(_later(stretcher_label_scene, shot, stretcher_plate(serial)), _at(car, taken))
    return found


def _later(make: Callable[[Shot, Plate], Scene], shot: Shot, plate: Plate) -> Callable[[], Scene]:
    return lambda: make(shot, plate)


JOBS: dict[str, Callable[[], dict[str, Photo]]] = {AMB_0417.job: photos_of_0417, AMB_0520.job: photos_of_0520}


@cache
def rendered(job: str, name: str) -> bytes:
    """Render one photo ("E001") of a job as JPEG, once per process.

    Raises:
        KeyError: no such job or photo.
    """
    return JOBS[job]()[name].bytes()


def photos(job: str) -> dict[str, bytes]:
    """Return a job's photos, file name ("E001.jpg") to JPEG bytes.

    Raises:
        KeyError: no such job.
    """
    return {f"{name}.jpg": rendered(job, name) for name in sorted(JOBS[job]())}


def main(arguments: list[str]) -> int:
    """Write all photos below the folder that the command line names; return the exit code."""
    if len(arguments) != 1:
        sys.stderr.write("usage: python -m tests.scene.demo OUTDIR\n")
        return 2
    for job in JOBS:
        folder = Path(arguments[0]) / job
        folder.mkdir(parents=True, exist_ok=True)
        for name, data in photos(job).items():
            (folder / name).write_bytes(data)
            sys.stdout.write(f"{folder / name} {len(data)}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
