"""English words about static pulls: what stops a log or a number, and what a reader should know of one."""

PROBLEMS: dict[str, tuple[str, str]] = {
    "pull-time-backwards": (
        "The times run backwards: {before} is followed by {found} in row {row} below the heading.",
        "Two logs may have been joined, or the clock was set. Export each pull by itself, in the order of its times.",
    ),
    "pull-no-times": (
        "The log has no column of times, so nobody can say how long the load was held.",
        "Export it with its times in seconds, headed time [s]. Peak and residual displacement need none.",
    ),
    "pull-not-filtered": (
        "A filter class is asked for, and a pull is not filtered here: its samples need not be even.",
        "Ask for the figure without a class, or let the laboratory evaluate it.",
    ),
    "pull-level-not-positive": (
        "The level of a hold must lie above nought, found {found}.",
        "Write the demanded load as a size: level: 10 kN. Which way it pulls is the direction's business.",
    ),
    "pull-no-force": (
        "The record names no column of force for this pull.",
        "Name it under channels: use: force, and name as in the file.",
    ),
    "pull-no-travel": (
        "The record names no column of displacement for this pull.",
        "Name it under channels with use: displacement, or set use and name right.",
    ),
    "pull-no-load": (
        "The force is nowhere above nought, so there is no load to be released from.",
        "If the log counts a pull as negative, say so in the record: sign: reversed. Nothing is turned by itself.",
    ),
    "pull-starts-loaded": (
        "The log begins under load.",
        "Ask for the whole log, from before the pull. What happened before its first row nobody can say.",
    ),
    "pull-ends-loaded": (
        "The log ends under load.",
        "Ask for the whole log, until after the release. What happened after its last row nobody can say.",
    ),
}

NOTICES: dict[str, tuple[str, str]] = {
    "pull-clock-times": (
        "The times of the log are times of day, which are not computed with here; it counts as one without times.",
        "Export it with seconds from its beginning, headed time [s].",
    ),
    "pull-times-repeat": (
        "Several rows of the log share one printed time, so nobody knows their times nearer than the last digit.",
        "Export the times with more digits.",
    ),
    "pull-sampled-coarsely": (
        "The log has too few samples where the load came on and off to say how long it was held.",
        "Ask for the log at its full rate, or pull again with a faster one: the demanded time lies between the least that the samples prove and the most that they allow.",
    ),
    "pull-gap": (
        "The log has a gap while the load was on; what the force did there nobody can say.",
        "Ask for the whole log, or pull again.",
    ),
    "pull-flat-top": (
        "The force stands at exactly its greatest value for at least ten samples, as where a logger's range ends: the true peak may have been higher.",
        "Ask for the range of load cell and logger.",
    ),
    "pull-rest-moves": (
        "The displacement was not at rest before the load or after its release.",
        "The limit lies within that movement. Ask for the whole log, from before the pull until nothing moved any more.",
    ),
    "pull-force-negative": (
        "The force is greater below nought than above it, and the record does not say that the log counts a pull as negative.",
        "If it does, say so in the record: sign: reversed. Nothing is turned by itself.",
    ),
    "pull-travel-negative": (
        "The displacement goes below nought under load, and the record does not say that it counts that way.",
        "If it does, say so in the record: sign: reversed. Nothing is turned by itself.",
    ),
    "pull-sprung-beyond-start": (
        "After the release the displacement lies beyond its start, against the pull.",
        "Look whether the sensor came loose or slipped.",
    ),
}
