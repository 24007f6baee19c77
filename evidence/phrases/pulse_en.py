"""English words about measured channels: sets and tables of them, and what is computed from them.

The first table holds what stops a channel from being read or judged, the second what a reader should know of a figure,
the third plain words of the ``pulse`` command.
"""

PROBLEMS: dict[str, tuple[str, str]] = {
    # archives
    "archive-too-large": (
        "The archive holds {found} bytes to read; at most {limit} are read.",
        "Leave the films out and pack the folder with the channels alone.",
    ),
    "archive-too-many": (
        "The archive holds {found} files; at most {limit} are looked at.",
        "Pack the folder of this one test alone.",
    ),
    "archive-name": (
        "The archive names a file in a way that no program of good will does: {found}.",
        "Do not unpack it. Ask whoever sent it to pack the folder again.",
    ),
    "archive-name-twice": (
        "The archive holds two files of one name: {found}.",
        "Nobody could say which of them counts. Ask for the set again, packed anew.",
    ),
    "archive-password": (
        "The archive is locked with a password.",
        "Ask the laboratory for it without one, or unpack it yourself and give the folder.",
    ),
    "archive-ratio": (
        "The archive unpacks from {packed} to {found} bytes, as an attack does and measured values do not.",
        "Ask whoever sent it to pack the folder again.",
    ),
    "archive-damaged": (
        "The archive is damaged or cut off.",
        "Copy it again from the sender.",
    ),
    # the set
    "mme-absent": (
        "No set of channels lies here: no .mme, no .chn and no channel file with a header.",
        "Give the folder of the test or its zip, with .mme, .chn and the files .001 and up; or one table as CSV, XLSX or ODS.",
    ),
    "mme-several-tests": (
        "More than one test lies here: {found}.",
        "Give the folder of one test.",
    ),
    "mme-too-many-channels": (
        "The set has {found} channel files; at most {limit} are read.",
        "Ask the laboratory for the channels that the report names.",
    ),
    "mme-no-channels": (
        "The set has no channel file.",
        "Give the whole folder of the test: the channels are the files .001 and up, mostly in a folder Channel.",
    ),
    "mme-list-count": (
        "The list of channels promises {found}; it names {expected}.",
        "Ask the laboratory for the whole set; a channel may have been lost.",
    ),
    "mme-channel-missing": (
        "The list names channel {number} ({found}), and its file is not there.",
        "Ask the laboratory for the whole set.",
    ),
    "mme-channel-unlisted": (
        "Channel {number} is in no list of the set.",
        "Ask the laboratory whether it belongs to this test.",
    ),
    "mme-mixed-sampling": (
        "This channel is sampled every {found} s; most of the set every {expected} s.",
        "Both are read. Only channels of one sampling make a resultant.",
    ),
    # a channel file
    "mme-character": (
        "A character that no channel file holds stands here: {found}.",
        "The file is damaged or something else. Ask the laboratory for it again.",
    ),
    "mme-no-samples": (
        "The channel has no samples below its header.",
        "Ask the laboratory for the file again; it was cut off.",
    ),
    "mme-too-many-samples": (
        "The channel has more than {limit} samples.",
        "Ask the laboratory for the stretch around the impact.",
    ),
    "mme-sample": (
        "Expected one number, found {found}.",
        "One sample stands in each line, all with a point or all with a comma. Ask the laboratory to export the channel again.",
    ),
    "mme-sample-missing": (
        "Samples are missing, {count} in all; the first one here.",
        "The sensor failed or the channel was cut. Nothing is computed from it; ask the laboratory what happened.",
    ),
    "mme-code-differs": (
        "The file says {found}; the list of channels says {expected}.",
        "One of them belongs to another channel. Ask the laboratory which; no verdict can rest on it.",
    ),
    "mme-direction-differs": (
        "The direction is {found} here and {expected} in the channel code.",
        "Ask the laboratory which axis was measured; no verdict can rest on it.",
    ),
    "mme-dimension-differs": (
        "The dimension is {found} here and {expected} in the channel code.",
        "Ask the laboratory what was measured; no verdict can rest on it.",
    ),
    "mme-filter-differs": (
        "The frequency class is {found} here; the letter in the channel code says {expected}.",
        "Ask the laboratory what the channel was filtered with; no verdict can rest on it.",
    ),
    "mme-count-differs": (
        "The header promises {found} samples; {expected} stand below it.",
        "The file was cut or joined. Ask the laboratory for it again; no verdict can rest on it.",
    ),
    "mme-extreme-differs": (
        "The header says {found}; the samples say {expected} (line {line}).",
        "Header and samples come from different processing. Ask the laboratory for the channel again; no verdict can rest on it.",
    ),
    "mme-extreme-time": (
        "The header puts the extreme at {found} s; the samples have it at {expected} s.",
        "Start time or sampling interval may be wrong. Ask the laboratory; no verdict can rest on it.",
    ),
    "mme-interval-missing": (
        "Nothing says how fast the channel was sampled: no interval and no channel of times; found: {found}.",
        "Ask the laboratory for the sampling interval in the header.",
    ),
    "mme-reference-missing": (
        "The channel of times that this one names is not in the set or cannot be read: {found}.",
        "Ask the laboratory for the whole set.",
    ),
    "mme-reference-length": (
        "This channel has {found} samples and its channel of times {expected}.",
        "Ask the laboratory for the set again.",
    ),
    "mme-uneven": (
        "The times are not evenly spaced: {found} stands out of step (line {row}).",
        "A filter class needs even sampling. Ask the laboratory for the channel as it was recorded.",
    ),
    "mme-unit-unknown": (
        "The unit {found} is in no table here.",
        "Peaks are given in that unit; nothing is converted or judged. Ask the laboratory for the channel in SI units.",
    ),
    "mme-unit-contradicts": (
        "The unit {found} cannot be that of the channel code, which says {expected}.",
        "Ask the laboratory what was measured; no verdict can rest on it.",
    ),
    "mme-unit-missing": (
        "The channel names no unit.",
        "Ask the laboratory for it; numbers without a unit prove nothing.",
    ),
    # a table
    "channel-no-time": (
        "No column has a unit of time; the columns are {found}.",
        "Head one column time [s] or time [ms], and the others with their units, such as sled acceleration [g].",
    ),
    "channel-time-unit": (
        "The column {column} names no unit: seconds and milliseconds are a factor of a thousand apart.",
        "Write the unit into its heading: time [s] or time [ms].",
    ),
    "channel-one-sample": (
        "The table has {found} row; at least {expected} are needed.",
        "Export the whole record of the test.",
    ),
    "channel-uneven": (
        "The times are not evenly spaced: {before} is followed by {found} in row {row} below the heading.",
        "A filter class needs even sampling. Ask the laboratory for the channel as it was recorded.",
    ),
    "channel-none": (
        "Besides the times there is no column of numbers.",
        "Export the table with the measured channels.",
    ),
    "channel-unit-missing": (
        "The column {column} names no unit.",
        "Write it into the heading, such as sled acceleration [g]. Peaks are given without one; nothing else is computed.",
    ),
    "channel-unit-unknown": (
        "The unit {found} of the column {column} is in no table here.",
        "Peaks are given in that unit; nothing else is computed. Write the heading with m/s², g, N or mm.",
    ),
    # processing
    "pulse-too-short": (
        "The channel has {found} samples; fewer than {limit} are no pulse.",
        "Ask the laboratory for the whole record.",
    ),
    "pulse-too-slow": (
        "At {found} samples per second the class {cfc} cannot be had.",
        "Choose a lower class, or ask the laboratory for the channel as it was recorded.",
    ),
    "pulse-offset-window": (
        "The window {found} for the offset does not lie inside the record, which runs from {expected}.",
        "Give a quiet stretch before the impact with at least two samples.",
    ),
    "pulse-limits": (
        "The limits {found} do not lie inside the record, which runs from {expected}.",
        "Give limits inside the record, the earlier one first.",
    ),
    "no-channels": (
        "The file holds no channels; it is of the kind {found}.",
        "Name a set of channels, or a table with a column of times.",
    ),
    "axes-differ": (
        "The file names the sign convention {found}, the record {recorded}.",
        "Ask the laboratory which of them the channels follow; nothing is turned by itself.",
    ),
    "figure-unit": (
        "The unit of the channel is {found}; what is asked needs a channel of {expected}.",
        "Name the channel that measures it, or correct the unit of its heading.",
    ),
    "figure-out-of-range": (
        "The figure would be {found}, which no test gives.",
        "The file is damaged, or its unit is wrong. Ask the laboratory for the channel again.",
    ),
    "figure-record-short": (
        "The record does not span the whole time of what is asked.",
        "Ask the laboratory for the full record, from before the impact until all is at rest.",
    ),
    "figure-corridor-unordered": (
        "The corridor's points do not follow one another in time.",
        "Correct the limit that was entered.",
    ),
    "pulse-resultant": (
        "{found} and {name} make no resultant: they differ in {differs}.",
        "Name channels of one place that were recorded and filtered alike.",
    ),
    "pulse-channel-unknown": (
        "No channel is called {found}; the file has: {expected}.",
        "Name a channel as listed, or by its number in the list, counted from 1.",
    ),
    "pulse-span": (
        "Expected two times in seconds with a comma between, the earlier first, found {found}.",
        "Write it like -0.05,0.",
    ),
    "pulse-plot-ending": (
        "The plot is written as SVG, and {found} ends otherwise.",
        "Give a name that ends in .svg; any browser opens and prints it.",
    ),
    "pulse-plot-many": (
        "A plot shows at most {limit} channels; here are {found}.",
        "Choose some with --channel.",
    ),
    "pulse-against-channel": (
        "To hold a channel against a pack, exactly one must be named; {found} are.",
        "Add --channel with its name or number; with --sign reversed if it points against the sense of the pack.",
    ),
    "pulse-pack-unknown": (
        "No pack is called {found}; there are: {expected}.",
        "Write it as listed; sillmark register list shows them with their titles.",
    ),
    "pulse-pack-without-tests": (
        "{found} asks for no figure of a dynamic test.",
        "Name the pack of a pulse, such as sae-j3044-2014@1.",
    ),
    "pulse-no-table": (
        "This is no table of channels but a {found}.",
        "Give a set of channels or one table as CSV, XLSX or ODS.",
    ),
}

NOTICES: dict[str, tuple[str, str]] = {
    "mme-encoding-guessed": ("A text of the set is not UTF-8; it was read as Windows-1252.", ""),
    "mme-decimal-comma": ("The samples have decimal commas.", ""),
    "mme-start-missing": (
        "The header does not say when the first sample was taken; time zero was assumed.",
        "Times and time windows may be shifted. Ask the laboratory.",
    ),
    "mme-code-odd": (
        "The channel code has not the sixteen characters of the format, so nothing was taken from it.",
        "",
    ),
    "mme-quantity-other": (
        "The channel measures something that nothing is computed of here; its peaks alone are given.",
        "",
    ),
    "mme-header-missing": ("The set has no .mme file; the channels were read without it.", ""),
    "mme-list-missing": ("The set has no .chn file; nobody can say whether a channel was lost.", ""),
    "pulse-filtered-again": (
        "The source had filtered the channel already, and it was filtered once more: a verdict stays undecided.",
        "Ask the laboratory for the unfiltered channel.",
    ),
    "pulse-filter-undeclared": (
        "Nobody says whether the channel was filtered before; it was filtered here: a verdict stays undecided.",
        "Ask the laboratory, and write it into the heading: unfiltered, or CFC 60.",
    ),
    "pulse-filtered-by-source": (
        "The source had filtered the channel to this class; it was taken as it is.",
        "",
    ),
    "pulse-recorder-filter": (
        "The recorder's own filter lies above class 1000, as recorders have it; it does not count as a filter.",
        "",
    ),
    "pulse-sampled-slowly": (
        "There are fewer than ten samples per period of the class's upper frequency.",
        "Peaks may be cut. Ask the laboratory for the channel at its full sampling.",
    ),
    "pulse-roll-off": (
        "At this sampling the filter is steeper above its class's upper frequencies than the corridor of the classes allows.",
        "It is the filter of the rule all the same. Faster sampling would bring it inside.",
    ),
    "pulse-not-filtered": ("No filter was applied here.", "Name the class that the clause asks with --cfc."),
    "figure-near-end": (
        "The figure lies at an end of the record, or so near one that the filter had to guess; a part of it may be missing.",
        "Ask the laboratory for a longer record.",
    ),
    "figure-level-below": (
        "The channel is greater below nought than above it, so the level counts there.",
        "",
    ),
    "figure-scale-uncertainty": (
        "The uncertainty that the record states for the channel was taken as one of scale, to first order; offset, timing and filtering were taken as exact.",
        "",
    ),
    "figure-nearest-to-claim": (
        "The paper does not say how it had its figure. Of the filter classes, no filter, and what the demands ask, the figure that comes nearest is given.",
        "",
    ),
    "pulse-peak-near-end": (
        "The greatest or least value lies so near an end of the record that the filter had to guess.",
        "Ask the laboratory for a longer record.",
    ),
    "pulse-clip-near-end": (
        "The 3 ms clip lies so near an end of the record that the filter had to guess.",
        "Ask the laboratory for a longer record.",
    ),
    "pulse-delta-v-near-end": (
        "A limit of the velocity change lies near an end of the record; part of the pulse may be missing.",
        "Ask the laboratory for a longer record.",
    ),
}

WORDS: dict[str, str] = {
    "pulse-head": "Channels in {path}: {count}. {filter}",
    "pulse-unfiltered": "Values as recorded; no filter was applied.",
    "pulse-class": "Filtered by class {cfc} in the form of {form}.",
    "pulse-form-j211": "SAE J211-1",
    "pulse-form-iso6487": "ISO 6487",
    "pulse-channel": "{name}  [{unit}]",
    "pulse-record": "record      {samples} samples every {interval} s, from {begin} s to {end} s; {recorded}",
    "pulse-recorded-unfiltered": "recorded unfiltered",
    "pulse-recorded-class": "recorded with class {cfc}",
    "pulse-recorded-pre-filtered": "recorded with a filter that is not named",
    "pulse-recorded-special": "recorded with a special filter",
    "pulse-recorded-undeclared": "nobody says what it was filtered with",
    "pulse-max": "greatest    {value} {unit} at {at} s",
    "pulse-min": "least       {value} {unit} at {at} s",
    "pulse-clip": "3 ms clip   {cumulative} {unit} cumulative, {continuous} {unit} continuous",
    "pulse-clip-none": "3 ms clip   none: the record is shorter",
    "pulse-delta-v": "velocity    changes by {value} m/s ({kmh} km/h, {mph} mph) from {begin} s to {end} s",
    "pulse-contradicted": "The file contradicts itself, as told above: no verdict can rest on this channel.",
    "pulse-axes": "signs       as recorded; the file names the axes {axes}",
    "pulse-axes-assumed": "signs       as recorded; no axes are named, SAE J1733 is assumed: x forward, y right, z down",
    "pulse-sign-as-recorded": "sign as recorded",
    "pulse-sign-reversed": "sign reversed",
    "pulse-side-upper": "upper line",
    "pulse-side-lower": "lower line",
    "pulse-against-head": "{channel} beside the limits of packs, {sign}",
    "pulse-against-corridor-in": "would be inside; least distance {value} {unit}, to the {side}, at {begin} s",
    "pulse-against-corridor-out": "would be outside; worst distance {value} {unit}, to the {side}, at {begin} s",
    "pulse-against-corridor-open": "left open; least distance {value} {unit}, to the {side}, at {begin} s",
    "pulse-against-limits-in": "{value} {unit} from {begin} s to {end} s; would be inside {limits}",
    "pulse-against-limits-out": "{value} {unit} from {begin} s to {end} s; would be outside {limits}",
    "pulse-against-limits-open": "{value} {unit} from {begin} s to {end} s; left open against {limits}",
    "pulse-against-doubt": "Nothing can be said: {cause}.",
    "pulse-against-foot": "Nobody has confirmed these limits, so this is no verdict. Read them in your own copy; in a job, sillmark register confirm takes them.",
    "pulse-plot-title": "Measured channels over time",
    "pulse-plot-time": "time / ms",
    "pulse-plot-corridor": "corridor",
    "pulse-plot-alt": "{name}: greatest {max} {unit} at {at_max} s, least {min} {unit} at {at_min} s.",
    "pulse-plot-written": "The plot was written to {path}.",
    "pulse-quantity-acceleration": "acceleration / {unit}",
    "pulse-quantity-force": "force / {unit}",
    "pulse-quantity-length": "displacement / {unit}",
    "pulse-quantity-speed": "velocity / {unit}",
    "pulse-quantity-torque": "moment / {unit}",
    "pulse-quantity-angle": "angle / {unit}",
    "pulse-quantity-other": "value / {unit}",
}
