"""What places a photo: tickets, labels, folders, time; and everything that must not."""

from collections.abc import Sequence
from datetime import timedelta

import pytest

from evidence import labels, sorting
from evidence.model.names import Role
from evidence.sorting import MAX_GAP, Placed, Shot, Unplaced
from tests.phone import DAY, build, record, serial, ticket, vin

RECORDS = {each.id: each for each in (record(1), record(2, positions=2), record(3))}
PHONE = ("Demo Phone 1", "", "")


def shot(path: str, *codes: str, minute: float | None = None, camera: tuple[str, str, str] = PHONE) -> Shot:
    taken = DAY + timedelta(minutes=minute) if minute is not None else None
    return Shot(path, "photo", tuple(labels.read(code) for code in codes), camera=camera, taken=taken)


def only(one: Shot) -> Placed | Unplaced:
    return sorting.place([one], RECORDS)[one.path]


def code_of(found: Placed | Unplaced) -> str:
    assert isinstance(found, Unplaced)
    return found.code


@pytest.mark.parametrize(
    ("codes", "job", "place", "role", "why"),
    [
        ([ticket(1)], "AMB-0001", "p1", Role.OTHER_PHOTO, "ticket"),
        ([ticket(2, "p2")], "AMB-0002", "p2", Role.OTHER_PHOTO, "ticket"),
        ([ticket(2, "vehicle")], "AMB-0002", "vehicle", Role.OTHER_PHOTO, "ticket"),
        ([ticket(2, "vehicle"), ticket(2, "p2")], "AMB-0002", "p2", Role.OTHER_PHOTO, "ticket"),
        (
            [f"sillmark-clock:AMB-0001:{ticket(1).rsplit(':', 1)[1]}"],
            "AMB-0001",
            "vehicle",
            Role.CLOCK_TICKET,
            "ticket",
        ),
        ([f"HERON 2 SN {serial(1, 'p1')}"], "AMB-0001", "p1", Role.LABEL_SYSTEM, "label"),
        (["HERON CARRIER SN HC-0002p2"], "AMB-0002", "p2", Role.LABEL_STRETCHER, "label"),
        ([f"VIN {vin(3)} BUILD {build(3)}"], "AMB-0003", "vehicle", Role.LABEL_VEHICLE, "label"),
        ([build(3)], "AMB-0003", "vehicle", Role.OTHER_PHOTO, "label"),
        ([f"HERON 2 SN {serial(1, 'p1')}", ticket(1)], "AMB-0001", "p1", Role.LABEL_SYSTEM, "ticket"),
        # the place's ticket beside the vehicle's plate: which of them is meant is for a person to say
        ([f"VIN {vin(1)}", ticket(1)], "AMB-0001", "p1", Role.OTHER_PHOTO, "ticket"),
        # a tool's number in the same picture takes nothing from the ticket
        (["SN TW-204-77", ticket(1)], "AMB-0001", "p1", Role.OTHER_PHOTO, "ticket"),
        (["HERON 2 SN 99", ticket(1)], "AMB-0001", "p1", Role.OTHER_PHOTO, "ticket"),
    ],
)
def test_what_a_code_says_is_certain(codes: list[str], job: str, place: str, role: Role, why: str) -> None:
    found = only(shot("a.jpg", *codes))

    assert isinstance(found, Placed), found
    assert (found.job, found.place, found.role, found.why) == (job, place, role, why)


@pytest.mark.parametrize(
    ("codes", "code"),
    [
        (["sillmark:AMB-0009:p1:abcdef12"], "sort-ticket-unknown-job"),
        (["sillmark:AMB-0001:p1:abcdef12"], "sort-ticket-not-printed"),
        ([f"sillmark:AMB-0001:vehicle:{ticket(1).rsplit(':', 1)[1]}"], "sort-ticket-not-printed"),
        (["sillmark-clock:AMB-0001:abcdef12"], "sort-ticket-not-printed"),
        ([ticket(1), "sillmark:AMB-0001:p1:abcdef12"], "sort-ticket-not-printed"),
        ([ticket(1), ticket(3)], "sort-two-vehicles"),
        ([ticket(2, "p1"), ticket(2, "p2")], "sort-two-places"),
        ([ticket(2, "p1"), f"HERON 2 SN {serial(2, 'p2')}"], "sort-two-places"),
        ([ticket(1), f"HERON 2 SN {serial(2, 'p2')}"], "sort-codes-disagree"),
        ([ticket(1), f"VIN {vin(9)}"], "sort-codes-disagree"),
        (["HERON 2 SN 99999999"], "sort-code-unknown"),
        # the right number on another maker's thing
        ([f"TARN 9 SN {serial(1, 'p1')}"], "sort-code-unknown"),
        (["SN 17"], "sort-code-unknown"),
        # the plate of another vehicle that happens to carry this one's build number
        ([f"VIN {vin(9)} BUILD {build(1)}"], "sort-code-unknown"),
    ],
)
def test_what_is_not_certain_is_not_placed(codes: list[str], code: str) -> None:
    assert code_of(only(shot("a.jpg", *codes, minute=0))) == code


def test_a_number_that_two_jobs_have_places_nothing_without_a_ticket() -> None:
    same = RECORDS["AMB-0001"].positions
    records = RECORDS | {"AMB-0003": RECORDS["AMB-0003"].model_copy(update={"positions": same})}
    label = f"HERON 2 SN {serial(1, 'p1')}"

    alone, helped = shot("a.jpg", label), shot("b.jpg", label, ticket(3))
    found = sorting.place([alone, helped], records)

    assert code_of(found["a.jpg"]) == "sort-label-shared"
    assert isinstance(found["b.jpg"], Placed)
    assert found["b.jpg"].job == "AMB-0003"


def test_disagreement_names_both_sides() -> None:
    found = only(shot("a.jpg", ticket(1), f"HERON 2 SN {serial(2, 'p2')}"))

    assert isinstance(found, Unplaced)
    assert found.parameters == {"found": f"ticket AMB-0001 p1; label HERON 2 SN {serial(2, 'p2')} (AMB-0002)"}


@pytest.mark.parametrize(
    ("path", "role"),
    [
        ("a.jpg", Role.OTHER_PHOTO),
        ("hook-position/a.jpg", Role.HOOK_POSITION),
        ("AMB-0001/hook-position/a.jpg", Role.HOOK_POSITION),
        ("hook-positions/a.jpg", Role.OTHER_PHOTO),
    ],
)
def test_a_folder_says_what_its_files_show(path: str, role: Role) -> None:
    found = only(shot(path, ticket(1)))

    assert isinstance(found, Placed)
    assert (found.job, found.role) == ("AMB-0001", role)


@pytest.mark.parametrize(
    ("path", "codes", "code"),
    [
        ("AMB-0002/a.jpg", [ticket(1)], "sort-codes-disagree"),
        ("AMB-0002/AMB-0001/a.jpg", [ticket(1)], "sort-folders-disagree"),
        ("overview/hook-position/a.jpg", [], "sort-folders-disagree"),
        ("AMB-0002/a.jpg", [], "sort-folder-without-role"),
        ("a.jpg", [], "sort-no-camera-time"),
    ],
)
def test_folders_are_no_guess_either(path: str, codes: list[str], code: str) -> None:
    assert code_of(only(shot(path, *codes))) == code


def test_papers_are_placed_by_folders_alone() -> None:
    found = sorting.place(
        [
            Shot("r.pdf", "document"),
            Shot("AMB-0002/type-test-report/r.pdf", "document"),
            Shot("AMB-0002/s.pdf", "document"),
        ],
        RECORDS,
    )

    assert code_of(found["r.pdf"]) == code_of(found["AMB-0002/s.pdf"]) == "sort-not-photo"
    placed = found["AMB-0002/type-test-report/r.pdf"]
    assert placed == Placed(
        "AMB-0002/type-test-report/r.pdf", "AMB-0002", None, Role.TYPE_TEST_REPORT, "folder"
    )


def by_time(*shots: Shot) -> Placed | Unplaced:
    return sorting.place(shots, RECORDS)["x.jpg"]


A, B = ticket(1), ticket(3)
LIMIT = MAX_GAP.total_seconds() / 60


def test_between_two_photos_of_one_place_is_that_place() -> None:
    found = by_time(
        shot("1.jpg", A, minute=0), shot("x.jpg", minute=LIMIT), shot("2.jpg", A, minute=2 * LIMIT)
    )

    assert found == Placed("x.jpg", "AMB-0001", "p1", Role.OTHER_PHOTO, "time")


def test_a_folder_gives_what_time_placed_its_role() -> None:
    around = [shot("screws/1.jpg", A, minute=0), shot("2.jpg", A, minute=2)]
    found = sorting.place([*around, shot("screws/x.jpg", minute=1)], RECORDS)["screws/x.jpg"]

    assert isinstance(found, Placed)
    assert (found.role, found.why) == (Role.SCREWS, "time")


def test_time_against_a_folder_that_names_another_job_places_nothing() -> None:
    around = [shot("1.jpg", A, minute=0), shot("2.jpg", A, minute=2)]
    found = sorting.place([*around, shot("AMB-0003/x.jpg", minute=1)], RECORDS)["AMB-0003/x.jpg"]

    assert code_of(found) == "sort-codes-disagree"


X = shot("x.jpg", minute=5)


@pytest.mark.parametrize(
    "shots",
    [
        [X],
        [shot("1.jpg", A, minute=0), X],
        [X, shot("2.jpg", A, minute=6)],
        [shot("1.jpg", A, minute=5 - LIMIT - 1 / 60), X, shot("2.jpg", A, minute=6)],
        [shot("1.jpg", A, minute=4), X, shot("2.jpg", A, minute=5 + LIMIT + 1 / 60)],
        [shot("1.jpg", A, minute=4), X, shot("2.jpg", B, minute=6)],
        [shot("1.jpg", A, minute=1), shot("b.jpg", B, minute=4), X, shot("2.jpg", A, minute=6)],
        [shot("1.jpg", A, minute=1), shot("b.jpg", B, minute=5), X, shot("2.jpg", A, minute=6)],
        # the phone was at a vehicle that is not sorted here, or at two at once
        [
            shot("1.jpg", A, minute=1),
            shot("b.jpg", "sillmark:AMB-9:p1:abcdef", minute=4),
            X,
            shot("2.jpg", A, minute=6),
        ],
        [shot("1.jpg", A, minute=1), shot("b.jpg", A, B, minute=4), X, shot("2.jpg", A, minute=6)],
        [
            shot("1.jpg", A, minute=1),
            shot("b.jpg", "HERON 2 SN 777777", minute=4),
            X,
            shot("2.jpg", A, minute=6),
        ],
        # one photo is not two neighbours, and another phone is none
        [shot("1.jpg", A, minute=5), X],
        [shot("1.jpg", A, minute=4, camera=("Demo Phone 2", "", "")), X, shot("2.jpg", A, minute=6)],
        [shot("other/1.jpg", A, minute=4), X, shot("2.jpg", A, minute=6)],
        # the same vehicle and another place of it
        [shot("1.jpg", ticket(2, "p1"), minute=4), X, shot("2.jpg", ticket(2, "p2"), minute=6)],
    ],
)
def test_time_places_nothing_that_could_be_elsewhere(shots: Sequence[Shot]) -> None:
    assert code_of(by_time(*shots)) == "sort-not-between"


def test_a_picture_whose_codes_were_not_read_is_not_placed_by_time() -> None:
    unread = Shot("x.jpg", "photo", unread=True, camera=PHONE, taken=DAY + timedelta(minutes=1))

    assert (
        code_of(by_time(shot("1.jpg", A, minute=0), unread, shot("2.jpg", A, minute=2)))
        == "sort-codes-unread"
    )


def test_a_lot_label_says_nothing_about_a_vehicle() -> None:
    lot = shot("x.jpg", "(01)09501101530003(10)L-77", minute=1)

    assert isinstance(by_time(shot("1.jpg", A, minute=0), lot, shot("2.jpg", A, minute=2)), Placed)


def test_the_order_of_the_files_changes_nothing() -> None:
    shots = [
        shot("1.jpg", A, minute=0),
        shot("x.jpg", minute=1),
        shot("2.jpg", A, minute=2),
        shot("3.jpg", B),
    ]

    assert sorting.place(shots, RECORDS) == sorting.place(shots[::-1], RECORDS)
