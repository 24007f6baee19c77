"""English reasons of findings on tests, and why nothing was computed from a channel."""

TEST_REASONS: dict[str, str] = {
    "test-not-recorded": (
        "No dynamic test that loads {subject} from this direction ({direction}) is recorded with its channels; recorded: {found}. "
        "Ask the laboratory for the channels, add them, and write the test into the record under tests."
    ),
    "pull-not-recorded": (
        "No static pull of {subject} in this direction ({direction}) is recorded with its log; recorded: {found}. "
        "Add the log, and write the pull into the record under tests."
    ),
    "test-channel-not-named": (
        "The record names no channel for this use ({use}) in {tests}. Add it under channels of the test, with its name in the file."
    ),
    "channel-not-found": (
        "{exhibit} has no channel called {channel}, which {test} names; its channels: {found}. Correct the name in the record."
    ),
    "channel-several": (
        "{exhibit} has several channels called {channel}, which {test} names. Name the one that counts by its place: {found}."
    ),
    "result-not-computed": (
        "Nothing was computed from {exhibit} for {test}: {cause}. Correct the record, or ask the laboratory for the channels again."
    ),
    "result-doubtful": (
        "{exhibit} gives {value} for {test}, but nothing rests on that: {cause}. Ask the laboratory, and judge again."
    ),
    "result-absent": (
        "What the channels in {exhibit} give for {test} was not computed. Judge the job again from its folder."
    ),
    "test-outside-limits": (
        "{test} gives {value}, which lies outside {low} to {high}. Ask the laboratory, and the maker for a test that fits."
    ),
    "test-under-minimum": (
        "{test} gives {value}, which is less than {low}. Ask the laboratory, and the maker for a test that fits."
    ),
    "test-over-maximum": (
        "{test} gives {value}, which is more than {high}. Ask the laboratory, and the maker for a test that fits."
    ),
    "test-uncertainty-spans-limit": (
        "{test} gives {value} with an uncertainty of {expanded_uncertainty}, too near the limit {limit} to say. "
        "Ask the laboratory how exact its channel is, or for a test that lies further from the limit."
    ),
    "test-uncertainty-unknown": (
        "{test} gives {value}, but nobody stated how exact its channel is. Enter its uncertainty under channels of the test."
    ),
}
TEST_CAUSES: dict[str, str] = {
    "cause-pulse-too-short": "the channel has too few samples",
    "cause-pulse-too-slow": "it was sampled too slowly for the filter class that is asked",
    "cause-pulse-offset-window": "the stretch whose mean is to be taken away does not lie inside the record",
    "cause-pulse-limits": "the limits of the velocity change do not lie inside the record",
    "cause-pull-level-not-positive": "the level of the hold does not lie above nought",
    "cause-pull-time-backwards": "its times run backwards",
    "cause-figure-out-of-range": "the figure would be larger than any test gives",
    "cause-figure-unit": "the channel has another unit than that of what is asked",
    "cause-axes-differ": "the file names another sign convention than the record",
    "cause-channel-no-time": "no column has a unit of time",
    "cause-channel-time-unit": "its column of times names no unit",
    "cause-channel-one-sample": "the table has too few rows",
    "cause-channel-uneven": "its times are not evenly spaced",
}
"""What stands inside the sentences above."""
