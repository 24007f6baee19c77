"""Numbers of a manifest against the same numbers made again: how far machines may differ, and what is then told."""

from collections.abc import Mapping
from fractions import Fraction

from evidence import gauging, labtests
from evidence.errors import Problem
from evidence.model.manifest import Manifest
from evidence.model.measurement import Measurement, WindowReading, measurement_id, window_id
from evidence.model.result import LabResult, result_id

MANIFEST = "data/manifest.json"
ALIKE = 10  # a number made again may differ by one part in so many of its own uncertainty
MILLIONTH = Fraction(1, 1_000_000)  # of a number of a test; of a second in its times; of the unit of a margin
SHARE_ALIKE = Fraction(2, 100)  # of a lock window's frame, read again


def measurement_problems(manifest: Manifest, measured: gauging.Measurements) -> list[Problem]:
    """Measurements that do not come out the same within a tenth of their own uncertainty."""
    stored = {(each.quantity, each.subject): each.measurement for each in manifest.measurements}
    return [
        Problem("recompute-measurement", MANIFEST, "/measurements", {"found": measurement_id(*key)})
        for key in sorted(stored.keys() | measured.keys())
        if not _alike(stored.get(key), measured.get(key))
    ]


def _alike(stored: Measurement | None, again: Measurement | None) -> bool:
    if stored is None or again is None or stored.state != again.state:
        return False
    same = (stored.exhibits, stored.method, stored.decides, stored.reason) == (
        again.exhibits,
        again.method,
        again.decides,
        again.reason,
    )
    pairs = [
        (stored.value, again.value),
        (stored.expanded_uncertainty, again.expanded_uncertainty),
        (stored.plane_margin, again.plane_margin),
    ]
    allowed = Fraction(stored.expanded_uncertainty or "0") / ALIKE
    return same and all(abs(Fraction(one or "0") - Fraction(other or "0")) <= allowed for one, other in pairs)


def window_problems(manifest: Manifest, read_anew: Mapping[str, WindowReading]) -> list[Problem]:
    """Lock windows that do not show the same; shares of the frame may differ by ``SHARE_ALIKE``."""
    stored = {each.reading.exhibits[0]: each.reading for each in manifest.windows}
    return [
        Problem("recompute-measurement", MANIFEST, "/windows", {"found": window_id(exhibit)})
        for exhibit in sorted(stored.keys() | read_anew.keys())
        if not _shows_alike(stored.get(exhibit), read_anew.get(exhibit))
    ]


def _shows_alike(stored: WindowReading | None, again: WindowReading | None) -> bool:
    if stored is None or again is None:
        return False
    one, other = (
        (each.state, each.window, each.method, each.exhibits, each.reason and each.reason.code)
        for each in (stored, again)
    )
    if one != other or stored.fractions is None or again.fractions is None:
        return one == other and stored.fractions == again.fractions
    pairs = zip(stored.fractions.document().values(), again.fractions.document().values(), strict=True)
    return all(abs(Fraction(first) - Fraction(second)) <= SHARE_ALIKE for first, second in pairs)


def result_problems(manifest: Manifest, computed: labtests.Results) -> list[Problem]:
    """Numbers of tests that do not come out the same from the channels in the bundle."""
    stored = {(each.asked, each.test): each for each in manifest.results}
    return [
        Problem("recompute-result", MANIFEST, "/results", {"found": result_id(*key)})
        for key in sorted(stored.keys() | computed.keys())
        if not _computes_alike(stored.get(key), computed.get(key))
    ]


def _computes_alike(stored: LabResult | None, again: LabResult | None) -> bool:
    """The same but for what machines round otherwise: a millionth of the value or a tenth of its uncertainty."""
    if stored is None or again is None:
        return False
    numbers = {"value", "expanded_uncertainty", "begin_s", "end_s"}
    if stored.model_dump(exclude=numbers) != again.model_dump(exclude=numbers):
        return False
    known = Fraction(again.expanded_uncertainty or "0") / ALIKE
    # a margin is the small difference of two large numbers, which a machine rounds as large ones
    least = MILLIONTH if again.quantity == "corridor" else Fraction(0)
    limits = {
        "value": max(abs(Fraction(again.value or "0")) * MILLIONTH, known, least),
        "expanded_uncertainty": known,
        "begin_s": MILLIONTH,
        "end_s": MILLIONTH,
    }
    pairs = ((getattr(stored, name), getattr(again, name), limit) for name, limit in limits.items())
    return all(
        (one is None) == (other is None) and abs(Fraction(one or "0") - Fraction(other or "0")) <= limit
        for one, other, limit in pairs
    )
