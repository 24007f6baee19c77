"""``sillmark measure``: the hook position from photos of the gauge card, without a job."""

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any, Literal

import click

from evidence import files, measuring
from evidence.cli import _clock
from evidence.cli._choosing import Between
from evidence.cli._measured import Asked, headline, limits_text, text, unmeasured
from evidence.cli._tell import Progress, to_stderr
from evidence.errors import ExitCode, InputError, UsageError, printable
from evidence.filing import MAX_EXHIBIT
from evidence.guard import Guard
from evidence.measuring import Measured, SetUp, Taken
from evidence.model.measurement import Measurement
from evidence.phrases import hint, say
from evidence.record.profile_meaning import check_profile
from evidence.record.reader import read_profile

MAX_PROFILE = 1024 * 1024  # bytes
MEDIA_TYPES: dict[str, Literal["image/jpeg", "image/png"]] = {
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".png": "image/png",
}


@click.command(
    "measure",
    short_help="Measure the hook position from photos of the gauge card.",
    epilog="Example: sillmark measure E003.jpg --profile profile.yaml --overlay measured.jpg",
)
@click.argument("photos", metavar="PHOTO...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--profile",
    type=click.Path(path_type=Path),
    help="Profile with the hook's datum and limits  [default: slider in the card's plane, no limits]",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for machines.")
@click.option(
    "--overlay",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Also write the photo with what was found and measured drawn over it, as .jpg or .png.",
)
@click.option(
    "--points",
    metavar="X1,Y1,X2,Y2",
    help="Without a slider: two points on the hook's base line, pixels of the upright picture.",
)
@click.option(
    "--focal",
    metavar="MM",
    type=Between(5, 2000),
    help="Focal length as 35 mm equivalent, where the file has lost it: whole mm, 5 to 2000.",
)
def command(
    photos: tuple[Path, ...],
    *,
    profile: Path | None,
    as_json: bool,
    overlay: Path | None,
    points: str | None,
    focal: int | None,
) -> None:
    """Measure how far the hook is from the sill, from one PHOTO or several of the same set-up.

    Take a second photo from beside the hook rather than two from the same place. The answer carries its uncertainty
    and judges nothing.
    """
    _require_overlay(overlay, photos)
    asked = _asked(profile, points, focal)
    taken = _taken(photos)
    progress = Progress()
    with Guard(environment=_clock.child_environment()) as guard:
        progress("step-measure", count=str(len(photos)))
        measured = measuring.hook_position(taken, asked.setup, guard.run)
        _tell(measured.measurement, asked, as_json=as_json)
        if overlay is not None:
            _draw(measured, taken, asked, overlay, guard)
    raise click.exceptions.Exit(_exit_code(measured.measurement))


def _exit_code(measurement: Measurement) -> ExitCode:
    """Open where any photo could not be measured."""
    looked = len(measurement.views) == len(measurement.exhibits)
    return ExitCode.CLEAR if looked else ExitCode.OPEN


def _require_overlay(overlay: Path | None, photos: tuple[Path, ...]) -> None:
    if overlay is None:
        return
    if overlay.suffix.lower() not in MEDIA_TYPES:
        raise UsageError.one("measure-overlay-kind", str(overlay))
    if overlay.resolve() in {photo.resolve() for photo in photos}:
        raise UsageError.one("measure-overlay-is-photo", str(overlay))
    files.require_writable(overlay)


def _asked(profile: Path | None, points: str | None, focal: int | None) -> Asked:
    reference, setup, datum = None, SetUp(), False
    if profile is not None:
        read = read_profile(files.read_capped(profile, MAX_PROFILE), str(profile))
        if problems := check_profile(read):
            raise InputError(problems)
        reference, setup = read.profile.reference, measuring.of_profile(read.profile)
        datum = read.profile.hook is not None
    setup = replace(
        setup,
        focal_35mm=None if focal is None else Fraction(focal),
        points=None if points is None else _points(points),
    )
    return Asked(setup, reference, datum)


def _points(typed: str) -> tuple[measuring.Point, measuring.Point]:
    try:
        return measuring.read_points(typed)
    except ValueError as error:
        raise UsageError.one("measure-points-malformed", "--points", found=typed[:60]) from error


def _taken(photos: tuple[Path, ...]) -> list[Taken]:
    """The photos by name; of several with one name each by its whole path."""
    names = [photo.name for photo in photos]
    return [
        Taken(
            printable(photo.name if names.count(photo.name) == 1 else str(photo))[-90:],
            files.read_capped(photo, MAX_EXHIBIT),
            str(photo),
        )
        for photo in photos
    ]


def _tell(measurement: Measurement, asked: Asked, *, as_json: bool) -> None:
    if not as_json:
        click.echo(text(measurement, asked))
        return
    document = measurement.document(nulls=True)
    for told in (*document["warnings"], *([document["reason"]] if document["reason"] else [])):
        told.update(_words(told))
    document["profile"] = asked.profile
    click.echo(json.dumps(document, ensure_ascii=False, sort_keys=True, separators=(",", ":")))


def _words(told: dict[str, Any]) -> dict[str, str]:
    return {"text": say(told["code"], told["parameters"]), "to_do": hint(told["code"])}


def _draw(measured: Measured, taken: list[Taken], asked: Asked, target: Path, guard: Guard) -> None:
    """Draw the view from closest to straight above; where there is none, what the first photo shows."""
    kind = MEDIA_TYPES[target.suffix.lower()]
    if measured.measurement.views:
        photo, lines = _best(measured.measurement, taken, asked)
        picture = measuring.overlay(photo, measured.marks[photo.exhibit], lines, kind, guard.run)
    else:
        named = getattr(measured.measurement.reason, "exhibit", None)
        photo = next((each for each in taken if each.exhibit == named), taken[0])
        found = measuring.found_in(photo, guard.run)
        lines = unmeasured(measured.measurement, photo.exhibit, found, slider=asked.setup.points is None)
        picture = measuring.overlay(photo, found, lines, kind, guard.run)
    files.write_file(target, picture, overwrite=True)
    to_stderr(say("measure-overlay-written", {"path": str(target)}))


def _best(measurement: Measurement, taken: list[Taken], asked: Asked) -> tuple[Taken, list[str]]:
    best = min(measurement.views, key=lambda view: abs(Fraction(view.obliqueness)))
    photo = next(each for each in taken if each.exhibit == best.exhibit)
    lines = [
        headline(measurement),
        "   ".join(filter(None, (photo.exhibit, limits_text(asked.setup.limits)))),
    ]
    if not measurement.decides:
        lines.append(say("measure-undecided"))
    return photo, lines
