"""Commands that are asked for what cannot be done, on a job that is whole."""

from tests.broken_jobs.of_files import photo
from tests.broken_jobs.patches import Case, Change, Copy, Put

PROFILE = "{job}/profile.yaml"
CONFIRM = ("register", "confirm", "{job}")
READ = ("--edition", "EN 1789:2020", "--page", "23", "--by", "w3")


def asked(
    name: str,
    command: tuple[str, ...],
    code: str,
    where: str,
    words: tuple[str, ...] = (),
    exit_code: int = 3,
) -> Case:
    """A command on the base job as it is."""
    return Case(name, (), command, code, where, words, exit_code)


STARTED = (
    asked(
        "start-where-a-job-is",
        ("start", "{job}", "--profile", PROFILE, "--build", "BW-1"),
        "job-exists",
        "{job}",
        (),
        2,
    ),
    asked(
        "start-without-vehicle",
        ("start", "{new}/J", "--profile", PROFILE),
        "vehicle-not-named",
        "--build",
        (),
        2,
    ),
    asked(
        "start-without-profile",
        ("start", "{new}/J", "--build", "BW-1"),
        "profile-not-named",
        "--profile",
        (),
        2,
    ),
    asked(
        "start-with-unknown-pack",
        ("start", "{new}/J", "--profile", PROFILE, "--build", "BW-1", "--pack", "en-1789-2002@1"),
        "pack-not-shipped",
        "--pack",
        ("en-1789-2002@1", "en-1789-2020@1"),
        2,
    ),
    asked(
        "start-with-vin-with-o",
        ("start", "{new}/J", "--profile", PROFILE, "--vin", "OBW2231TARN000417"),
        "vin-malformed",
        "--vin",
        ("'OBW2231TARN000417'",),
        3,
    ),
)
ADDED = (
    Case(
        "add-of-nothing",
        (),
        ("add", "{job}", "{new}/IMG_1.jpg", "--as", "overview", "--for", "p1"),
        "file-absent",
        "{new}/IMG_1.jpg",
        (),
        3,
    ),
    Case(
        "add-for-nobody",
        (Put("../new/x.jpg", photo),),
        ("add", "{job}", "{new}/x.jpg", "--as", "overview", "--for", "p9"),
        "subject-unknown",
        "{job}/job.yaml",
        ("p9",),
        2,
    ),
    Case(
        "add-what-is-filed",
        (Copy("photos/E003.jpg", "../new/IMG_3.jpg"),),
        ("add", "{job}", "{new}/IMG_3.jpg", "--as", "hook-position", "--for", "p1"),
        "already-filed",
        "{new}/IMG_3.jpg",
        ("E003",),
        2,
    ),
    asked("add-without-files", ("add", "{job}", "--as", "overview"), "files-needed", "{job}", (), 2),
    Case(
        "add-without-role",
        (Put("../new/x.jpg", photo),),
        ("add", "{job}", "{new}/x.jpg"),
        "role-needed",
        "{job}",
        (),
        2,
    ),
    asked("sort-the-job-itself", ("add", "{job}", "--sort", "{new}"), "inbox-is-job", "{job}", (), 2),
    asked("sort-into-nothing", ("add", "{new}", "--sort", "{job}/packs"), "jobs-none", "{job}/packs", (), 2),
    asked("sort-folder-into-itself", ("add", "{new}", "--sort", "{new}"), "inbox-holds-jobs", "{new}", (), 2),
)
MOVED = (
    asked(
        "move-of-nothing",
        ("move", "{job}", "E099", "--as", "overview", "--reason", "wrong-role"),
        "move-exhibit-unknown",
        "{job}",
        ("E099",),
        2,
    ),
    asked("move-nowhere", ("move", "{job}", "E002", "--reason", "wrong-role"), "move-where", "E002", (), 2),
    asked(
        "move-to-itself",
        ("move", "{job}", "E002", "--to", "{job}", "--reason", "wrong-vehicle"),
        "move-same-job",
        "{job}",
        (),
        2,
    ),
    asked(
        "move-to-what-it-is",
        ("move", "{job}", "E002", "--as", "overview", "--reason", "wrong-role"),
        "move-nothing",
        "E002",
        (),
        2,
    ),
    Case(
        "move-what-is-named",
        (Copy(".", "../other"), Change("../other/job.yaml", "id: AMB-0417\n", "id: AMB-0418\n")),
        ("move", "{job}", "E015", "--to", "{new}/../other", "--reason", "wrong-vehicle"),
        "exhibit-referenced",
        "{job}",
        ("E015", "job.yaml:"),
        2,
    ),
    asked(
        "move-photo-to-paper",
        ("move", "{job}", "E002", "--as", "declaration", "--reason", "wrong-role"),
        "role-of-another-kind",
        "{job}/photos/E002.jpg",
        ("photo",),
    ),
)
ASSEMBLED = (
    Case(
        "assemble-with-short-seed",
        (Put("seed", b"abc"),),
        ("assemble", "{job}", "-o", "{new}/out"),
        "seed-malformed",
        "{job}/seed",
        ("3", "32"),
        3,
    ),
    Case(
        "assemble-into-a-file",
        (Put("../new/out", b""),),
        ("assemble", "{job}", "-o", "{new}/out"),
        "out-not-folder",
        "{new}/out",
        (),
        2,
    ),
    asked("assemble-of-no-job", ("assemble", "{new}", "-o", "{new}/out"), "job-missing", "{new}"),
    asked("check-of-the-jobs-folder", ("check", "{job}/.."), "folder-of-jobs", "{job}/..", ("job",)),
)
CONFIRMED = (
    asked(
        "confirm-unknown-demand",
        (*CONFIRM, "5.3/nothing", *READ),
        "criterion-unknown",
        "5.3/nothing",
        ("'5.3/nothing'",),
        2,
    ),
    asked(
        "confirm-by-nobody",
        (*CONFIRM, "5.3/certificate-complete", *READ[:-1], "w9"),
        "person-not-recorded",
        "w9",
        ("w9", "w3"),
        2,
    ),
    asked(
        "confirm-page-as-word",
        (*CONFIRM, "5.3/test-mass", "--edition", "EN 1789:2020", "--page", "iv", "--by", "w3"),
        "page-not-a-number",
        "--page",
        ("'iv'",),
        2,
    ),
    asked(
        "confirm-what-is-confirmed",
        (*CONFIRM, "5.3/test-mass", *READ),
        "confirmed-already",
        "en-1789-2020@1/5.3/test-mass",
        ("demo-confirmed@1",),
        2,
    ),
    asked(
        "show-unknown-pack",
        ("register", "show", "en-1789-2002@1"),
        "pack-not-shipped",
        "en-1789-2002@1",
        (),
        2,
    ),
)
COMMANDS = STARTED + ADDED + MOVED + ASSEMBLED + CONFIRMED
