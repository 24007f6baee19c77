"""A measurement as lines of text for the person who took the photos."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from evidence import uncertainty
from evidence.measuring import Found, Limits, SetUp
from evidence.model.measurement import Measurement, Notice, View
from evidence.phrases import hint, say
from evidence.quantity import decimal_text

TERMS_TOLD = 4  # the largest; what is left is too small to matter


@dataclass(frozen=True)
class Asked:
    """What a measurement was asked with.

    Attributes:
        setup: the set-up.
        profile: reference of the profile it came from; None without one.
        datum: whether that profile describes the hook's datum.
    """

    setup: SetUp
    profile: str | None
    datum: bool


def text(measurement: Measurement, asked: Asked) -> str:
    """The whole answer: value, what it rests on, what to know, and what it would mean."""
    if measurement.reason is not None:
        reason = measurement.reason
        lines = [say("measure-none"), "", *_noticed(measurement, [reason])]
    else:
        lines = [headline(measurement), "", say("measure-rests"), *_rests(measurement, asked)]
    lines += _section("measure-notice", _noticed(measurement, measurement.warnings))
    lines += _section("measure-verdict", _meaning(measurement, asked))
    return "\n".join(lines)


def headline(measurement: Measurement) -> str:
    """Value and uncertainty, two digits of the latter."""
    value, expanded = uncertainty.printed(
        Decimal(measurement.value or "0"), Decimal(measurement.expanded_uncertainty or "0")
    )
    return say("measure-value", {"value": value, "expanded": expanded})


def unmeasured(measurement: Measurement, exhibit: str, found: Found, *, slider: bool) -> list[str]:
    """What is written beside a photo that gave nothing: why, what to do, and what was found of card and slider.

    Args:
        measurement: without a value.
        exhibit: the photo.
        found: in it.
        slider: whether one was needed.
    """
    lines = [say("measure-none"), exhibit]
    if measurement.reason is not None:
        lines += [say(measurement.reason.code, measurement.reason.parameters), hint(measurement.reason.code)]
    counts = {"found": str(found.card), "whole": str(found.whole), "least": str(found.least)}
    lines.append(say("measure-found-card", counts))
    if found.marks["twice"]:
        lines.append(say("measure-found-twice", {"found": str(len(found.marks["twice"]))}))
    if slider:
        lines.append(say(f"measure-found-slider-{min(found.slider, 2)}"))
    return lines


def limits_text(limits: Limits) -> str:
    """The limits in words; empty where none is known."""
    ends = {"low": limits.low, "high": limits.high}
    known = {name: decimal_text(end) for name, end in ends.items() if end is not None}
    if len(known) == len(ends):
        return say("measure-limits", known)
    return "".join(say(f"measure-limit-{name}", {name: end}) for name, end in known.items())


def _section(title: str, lines: Sequence[str]) -> list[str]:
    return ["", say(title), *lines] if lines else []


def _rests(measurement: Measurement, asked: Asked) -> Iterator[str]:
    for view in measurement.views:
        yield f"  {say('measure-view', _told(view))}"
        yield f"      {say('measure-sharp', _told(view))}"
        if view.scale_disagreement is not None:
            yield f"      {say('measure-slider-level', {'height': _height(view), 'turn': view.turn.lstrip('-')})}"
    if asked.profile is None:
        yield f"  {say('measure-no-profile')}"
    elif not asked.datum:
        yield f"  {say('measure-no-datum', {'profile': asked.profile})}"
    else:
        setup = asked.setup
        spread = (setup.height_uncertainty or Fraction(0)) * uncertainty.STATED_FACTOR
        stated = {"height": setup.height, "spread": spread, "offset": setup.offset}
        told = {name: decimal_text(value) for name, value in stated.items()}
        yield f"  {say('measure-profile', {'profile': asked.profile, **told})}"
    terms = [
        f"{say(f'measure-term-{one.name}')} {Decimal(one.standard):.2f}"
        for one in measurement.terms[:TERMS_TOLD]
    ]
    yield f"  {say('measure-terms', {'terms': ', '.join(terms)})}"
    found = ", ".join(f"{name.replace('-', ' ')} {number}" for name, number in measurement.priors.items())
    yield f"      {say('measure-trial', {'priors': found}) if found else say('measure-assumed')}"


def _told(view: View) -> dict[str, str]:
    return {
        "exhibit": view.exhibit,
        "tags": str(view.tags),
        "obliqueness": view.obliqueness.lstrip("-"),
        "height": view.camera_height,
        "sharpness": view.sharpness,
        "blur": view.blur,
    }


def _height(view: View) -> str:
    """Mm of the slider above the card, by its size."""
    larger = 1 + Fraction(view.scale_disagreement or "0") / 100
    above = Fraction(view.camera_height) * (1 - 1 / larger)
    return f"{float(above):.1f}".replace("-0.0", "0.0")


def _noticed(measurement: Measurement, notices: Sequence[Notice]) -> list[str]:
    """Each notice with its photo, and what to do once for each kind."""
    lines: list[str] = []
    told: set[str] = set()
    for notice in notices:
        place = f"{notice.exhibit}: " if notice.exhibit and len(measurement.exhibits) > 1 else ""
        lines.append(f"  {place}{say(notice.code, notice.parameters)}")
        if notice.code not in told:
            lines.append(f"      {hint(notice.code)}")
            told.add(notice.code)
    return lines


def _meaning(measurement: Measurement, asked: Asked) -> list[str]:
    """What the value would mean for the limits, never more than it shows."""
    limits = asked.setup.limits
    if measurement.value is None or not measurement.decides:
        return [] if measurement.value is None else [f"  {say('measure-undecided')}"]
    if asked.profile is None or limits == Limits():
        return []
    code = f"measure-{_inside(measurement, limits)}"
    lines = [f"  {limits_text(limits)}", f"  {say(code, {'profile': asked.profile})}"]
    if code == "measure-open" and Decimal(measurement.plane_margin or "0"):
        lines.append(f"  {say('measure-margin', {'margin': measurement.plane_margin or ''})}")
    return [*lines, f"  {say('measure-caliper')}"]


def _inside(measurement: Measurement, limits: Limits) -> str:
    """Guarded by the uncertainty, and by what the slider's size cannot exclude."""
    guard = float(measurement.expanded_uncertainty or 0) + float(measurement.plane_margin or 0)
    low, high = (None if end is None else float(end) for end in (limits.low, limits.high))
    decision = uncertainty.decide(float(measurement.value or 0), guard, low, high)
    return {"accepted": "inside", "rejected": "outside", "undecided": "open"}[decision]
