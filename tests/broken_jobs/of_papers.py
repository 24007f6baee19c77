"""Slips in what the vehicle is held against: fitting profile, packs, confirmations."""

from tests.broken_jobs.patches import CHECK, Case, Change, Copy, Put, Remove
from tests.conftest import TOP

PROFILE, PACK = "profile.yaml", "packs/demo-confirmed@1.yaml"


def shadow() -> bytes:
    """The pack of common practice with one number turned."""
    return (
        (TOP / "evidence/register/packs/common-practice@1.yaml")
        .read_bytes()
        .replace(b"review_by: 2027", b"review_by: 2029")
    )


def drawn(name: str, old: str, new: str, code: str, *words: str) -> Case:
    """One slip in the profile."""
    return Case(name, (Change(PROFILE, old, new),), CHECK, code, "{mark}", words, 3)


def confirmed(name: str, old: str, new: str, code: str, *words: str) -> Case:
    """One slip in the pack of confirmations."""
    return Case(name, (Change(PACK, old, new),), CHECK, code, "{mark}", words, 3)


PROFILES = (
    Case(
        "profile-of-revision-d",
        (
            Change(PROFILE, "revision: C", "revision: D"),
            Change("job.yaml", "profile: heron", "profile: ¤heron"),
        ),
        CHECK,
        "profile-differs",
        "{mark}",
        ("heron-2@C", "heron-2@D"),
        3,
    ),
    drawn(
        "yields-misspelt", "yields: [torque]", "yields: [¤torqe]", "yields-misspelt", "'torqe'", "'torque'"
    ),
    drawn("yields-nothing-known", "yields: [torque]", "yields: [¤paint]", "yields-unknown", "'paint'"),
    drawn(
        "yields-twice",
        "after: [locker-and-torque], yields: [hook-position]",
        "after: [locker-and-torque], yields: [hook-position, ¤torque]",
        "yields-twice",
        "'torque'",
        "profile.yaml:25:",
    ),
    drawn(
        "step-after-itself",
        "{id: mark-out, title: {en: Mark out the hole pattern from the sill, de: Lochbild von der Ladekante aus anreißen, fr: Tracer le plan de perçage à partir du seuil},",
        "{id: mark-out, title: {en: Mark out}, after: ¤[witness-mark],",
        "step-loop",
    ),
    drawn("after-unknown-step", "after: [dry-fit]", "after: [¤dry-fti]", "step-unknown", "'dry-fti'"),
    drawn(
        "confirmed-without-page",
        "mark: confirmed, source: fitting manual, page: 6,",
        "mark: ¤confirmed, source: fitting manual,",
        "profile-page-missing",
    ),
    drawn("limit-without-unit", "low: 22.0 N·m", "low: ¤22.0", "quantity-unit-missing", "N·m"),
    drawn(
        "no-english-title",
        "title: {en: Fit the latch dry, de: Verriegelung trocken einbauen, fr: Monter le verrou à sec}",
        "title: ¤{de: Trocken setzen, fr: Monter à sec}",
        "english-missing",
    ),
    drawn("colour-by-name", 'locked: "#265cb2"', "locked: ¤blue", "text-form", "'blue'"),
    drawn(
        "window-without-colours",
        '{id: lock-window, shows: colour, locked: "#265cb2", open: "#eca020"',
        "¤{id: lock-window, shows: colour",
        "window-without-colours",
    ),
    Case(
        "kind-unanswered",
        (Change(PROFILE, "answers: step-order, ", ""), Change(PROFILE, "items:\n", "¤items:\n")),
        CHECK,
        "profile-kind-unanswered",
        "{mark}",
        ("'step-order'",),
        3,
    ),
    drawn(
        "valid-until-before-from",
        "valid_from: 2025-11-01",
        "valid_from: 2025-11-01, valid_until: ¤2025-10-01",
        "dates-reversed",
    ),
    Case("profile-gone", (Remove(PROFILE),), CHECK, "file-absent", "{job}/profile.yaml", (), 3),
    Case(
        "profile-is-a-photo",
        (Put(PROFILE, b"\xff\xd8\xff\xe0\x00\x10JFIF"),),
        CHECK,
        "yaml-not-utf8",
        "{job}/profile.yaml",
        (),
        3,
    ),
)
PACKS = (
    confirmed(
        "confirms-nothing-known",
        "{confirms: en-1789-2020@1/5.3/test-mass",
        "{confirms: ¤en-1789-2020@1/5.3/tst-mass",
        "confirmation-unknown",
        "5.3/tst-mass",
    ),
    confirmed(
        "confirmed-twice",
        "{confirms: en-1789-2020@1/5.3/vertical-tested",
        "{confirms: ¤en-1789-2020@1/5.3/directions-tested",
        "confirmation-twice",
        "demo-confirmed@1.yaml:17:",
    ),
    confirmed(
        "confirmed-without-page-number",
        "{confirms: en-1789-2020@1/5.3/vertical-tested, edition: invented for the demonstration, page: 905,",
        "{¤confirms: en-1789-2020@1/5.3/vertical-tested, edition: invented for the demonstration,",
        "field-missing",
        "'page'",
    ),
    confirmed(
        "limit-of-another-kind",
        "replaces: {low: 240 kg}",
        "replaces: {¤at_least: 3}",
        "confirmation-does-not-fit",
        "at_least",
    ),
    confirmed("no-such-reader", "page: 906, by: w3", "page: 906, by: ¤w8", "id-unknown", "'w8'"),
    confirmed("mass-as-length", "replaces: {low: 240 kg}", "replaces: {low: ¤240 mm}", "quantity-unit", "kg"),
    Case(
        "own-pack-under-a-shipped-name",
        (Put("packs/common-practice@1.yaml", shadow),),
        CHECK,
        "pack-shadows-shipped",
        "{job}/packs/common-practice@1.yaml",
        ("common-practice@1",),
        3,
    ),
    Case(
        "basis-misspelt",
        (Change("job.yaml", "en-1789-2020@1, demo", "¤en-1789-2002@1, demo"),),
        CHECK,
        "pack-misspelt",
        "{mark}",
        ("en-1789-2002@1", "en-1789-2020@1"),
        3,
    ),
    Case(
        "basis-without-version",
        (Change("job.yaml", "common-practice@1]", "¤common-practice]"),),
        CHECK,
        "pack-reference-malformed",
        "{mark}",
        ("'common-practice'",),
        3,
    ),
    Case(
        "route-unknown",
        (Change("job.yaml", '{clause: "5.3", route: report}', '¤{clause: "5.3", route: hearsay}'),),
        CHECK,
        "route-unknown",
        "{mark}",
        ("hearsay",),
        3,
    ),
    Case(
        "pack-gone",
        (Remove(PACK), Change("job.yaml", "demo-confirmed@1,", "¤demo-confirmed@1,")),
        CHECK,
        "pack-unknown",
        "{mark}",
        ("demo-confirmed@1",),
        3,
    ),
    Case(
        "pack-twice",
        (Copy(PACK, "packs/copy.yaml"),),
        CHECK,
        "pack-twice",
        "{job}/packs/demo-confirmed@1.yaml",
        ("demo-confirmed@1",),
        3,
    ),
)
PAPERS = PROFILES + PACKS
