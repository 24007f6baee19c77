"""English words for problems of tests in a record, and of demands on what tests gave."""

TESTS: dict[str, tuple[str, str]] = {
    "only-for-tests": (
        "This field belongs to a quantity of a test; here {found} is asked.",
        "Take it out, or ask a quantity such as test.velocity-change.",
    ),
    "direction-missing": (
        "{found} does not say which tests it asks.",
        "Add direction: frontal, rear, side, up or down.",
    ),
    "channel-or-columns": (
        "A corridor is either for the channel of a test or for two columns of a table.",
        "Write direction for a test, or x and y for the columns; not both.",
    ),
    "test-time-in-seconds": (
        "Times of a test's channel are in seconds; the corridor is in {found}.",
        "Write x_unit: s, or leave it out, and the break points in seconds.",
    ),
    "processing-open": (
        "{found} cannot be worked out, because it is not said here how it is counted.",
        "Write kind: cumulative or kind: continuous; for a time above a level also the level with its unit.",
    ),
    "processing-unused": (
        "{found} has no use for this.",
        "Take it out.",
    ),
    "seconds-malformed": (
        "'{found}' is no begin and end in seconds.",
        "Write two decimals with a point, the earlier one first, such as -0.05 0.",
    ),
    "test-direction-of-pull": (
        "A dynamic test loads in one of these directions: {expected}; found {found}, which only a static pull has.",
        "Write the direction of the impact as the vehicle sees it, or kind: static-pull.",
    ),
    "test-use-twice": (
        "{test} names a second channel for the same use: {found}.",
        "Name the one that counts; a second sensor is a test of its own in the record, with its own id.",
    ),
}
