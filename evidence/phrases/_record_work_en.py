"""English words for problems of cycles, audits and nut factors: code to a sentence with named fields, and what to do."""

WORK: dict[str, tuple[str, str]] = {
    "outcomes-miscounted": (
        "The outcomes add up to {found} cycles without fault; without_fault and done say {expected}.",
        "Write one word for each cycle, ok where nothing was wrong, or correct the two numbers.",
    ),
    "ends-of-other-cycles": (
        "Readings of both ends stand with cycles of the kind {found}.",
        "Move them to an entry of the kind both-ends.",
    ),
    "cycle-log-of-other-role": (
        "{found} has the role {role}; the log of cycles is a file of the role {expected}.",
        "Name the log, or file it with: sillmark add JOB FILE --as cycle-log.",
    ),
    "audit-torques-beyond-screws": (
        "The audit has {found} torques; its screw group has {limit} screws.",
        "Write one torque for each screw that was checked.",
    ),
    "nut-factor-not-positive": (
        "A nut factor of {found} cannot be.",
        "Copy the number from the manual, such as 0.14.",
    ),
    "nut-factors-crossed": (
        "The high nut factor {found} is below the low one, {low}.",
        "Write the smaller one as low.",
    ),
}
