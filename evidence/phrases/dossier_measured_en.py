"""English words of the dossier for what photos measured, and for how good the photos are."""

from evidence.phrases.dossier_windows_en import WINDOWS_PAGE

_TITLES = {
    "title-hook_position": "Hook position",
    "title-photo_quality": "How good the photos are",
    "head-term": "What can be wrong",
    "head-standard": "Standard uncertainty",
    "head-share": "Share",
    "head-found-from": "Known from",
    "head-photo": "Photo",
    "head-slant": "Slant, height",
    "head-tags": "Tags, fit",
    "head-sharpness": "Sharpness",
    "head-slider": "Slider",
    "head-picture": "Picture",
    "head-taken": "Camera time",
    "head-remarks": "Remarks",
}

_PLACE = {
    "measured-lead": "The value that a person measured and recorded decides. The photo of the gauge card, measured by the program only "
    "afterwards, can agree with it, contradict it, or say nothing.",
    "measured-datum": "Measured from {from_} to {to} (manual, p.\u00a0{page}). The hook is touched {height} ± {spread} above the "
    "card; {offset} is added up to the face that counts.",
    "measured-of": "Hook position: {subject}",
    "measured-alt": "Part of photo {id} with the measured distance drawn over it: {value} from the datum line to the hook; "
    "lower limit {low}, upper limit {high}",
    "measured-photo-alt": "Part of photo {id} that the measurement is about",
    "measured-caption": "Part of {id}. Solid lines: the datum, marked 0, and the hook. Arrow: the measured distance. Thin frames: the "
    "tags that were used.",
    "measured-caption-limits": "Broken lines: where the hook would be at each limit.",
    "measured-caption-views": "{n} photos carry the value; this one was taken from nearest to straight above.",
    "measured-caliper": "Recorded, {id}",
    "measured-recorded": "Recorded",
    "measured-photo": "From the photo",
    "measured-photos": "From {n} photos",
    "measured-value-bare": "{value}, uncertainty not stated",
    "measured-coverage": "(95 %)",
    "measured-none": "no value",
    "measured-no-value": "not recorded yet",
    "measured-bar-alt": "Limit bar: recorded {recorded}; photo {photo}; lower limit {low}, upper limit {high}; guard band {guard} inside "
    "each limit",
    "measured-bar-note": "Dot: recorded. Diamond: photo. Whiskers: expanded uncertainty. Band: what the limits allow; behind the broken "
    "lines lies the guard band.",
    "measured-limits": "Limits",
    "measured-limits-both": "{low} to {high}",
    "measured-limit-low": "at least {low}",
    "measured-limit-high": "at most {high}",
    "measured-source": "{source}, p.\u00a0{page}; {mark}",
    "measured-source-bare": "{source}; {mark}",
    "measured-requirement": "Requirement",
    "measured-rule": "Decision rule",
    "measured-rule-guarded": "guarded acceptance (JCGM 106:2012): the recorded value must keep clear of each limit by its whole "
    "expanded uncertainty",
    "measured-rule-simple": "simple acceptance (JCGM 106:2012): the recorded value alone is compared with the limits",
    "measured-probability": "Probability",
    "measured-conforms": "{share} that the position lies within the limits, judged by {id} and its uncertainty alone",
    "measured-conforms-not": "not stated: no usable value with its uncertainty",
    "measured-method": "Method",
    "measured-margin": "Hidden height",
    "measured-margin-of": "what the slider's size could hide of its height would shift the photo's value by up to {margin}",
    "measured-undecided": "The photo decides nothing yet.",
    "measured-uncompared": "No requirement compares this value with a limit.",
    "measured-silent": "The photo says nothing about the recorded value, because it could not be measured.",
    "measured-terms": "What the photo's uncertainty is made of",
    "measured-views": "The photos that were measured",
    "measured-notices": "To know about the photos",
    "measured-scatter": "scatter in the picture",
    "measured-prior": "what is known of card and fitting",
    "measured-slant": "{degrees}° along the measured direction; camera {height} mm above the card",
    "measured-tags": "{tags} of 12 tags; corners fit within {residual} px",
    "measured-sharpness": "{sharpness} px/mm; edges {blur} px wide",
    "measured-slider": "turned {turn}°; size {scale} % off the card's",
    "measured-points": "points set by hand, turned {turn}°",
    "measured-lens-stated": "lens as the file states it",
    "measured-lens-given": "lens as given by hand",
    "measured-lens-assumed": "usual lens assumed",
}

_WHY_NOT = {
    "measured-not-photo": "No photo of the gauge card was filed for this place, so nothing bears out the recorded value.",
    "measured-not-value": "Not measured yet: the photo is measured once the caliper's value is recorded, so that nobody reads the value off "
    "the photo.",
    "measured-not-datum": "Not measured: the fitting profile does not say where the hook is touched, so a photo cannot be compared.",
    "measured-not-read": "Not measured: the file could not be read as a photo of the gauge card; the photo log says what it is.",
    "measured-photos-filed": "Photos filed",
}

_TERMS = {
    "word-measured-term-picture": "Where the edges of card and slider lie in the picture",
    "word-measured-term-plane-height": "How high the slider lies above the card",
    "word-measured-term-focal-length": "How long the camera's lens is",
    "word-measured-term-print-scale": "How true to scale the card was printed",
    "word-measured-term-cut": "How well card and slider were cut along their lines",
    "word-measured-term-gap": "Gaps between card and sill, slider and hook",
    "word-measured-term-yaw": "How square card and slider were laid",
    "word-measured-term-zero-check": "What the zero check of the gauge card does not settle",
    "word-measured-term-clicked-points": "Where the points were set by hand",
}

_DATUM = {
    "word-hook-from-outer-sill-face": "the outer face of the sill",
    "word-hook-from-inner-lip-face": "the inner face of the lip",
    "word-hook-from-floor-edge": "the edge of the floor",
    "word-hook-to-sill-side-back": "the hook's back towards the sill",
    "word-hook-to-throat": "the hook's throat",
    "word-hook-to-centreline": "the hook's centre line",
}

_PAPER_ADVICE = {
    "advice-slider-not-seen": "Lay the slider against the hook, its tag up and in full view.",
    "advice-focal-not-stated": "Use the photo as the phone wrote it, not cropped and not from a messenger.",
}
"""Advice that elsewhere names options of a command, which paper has not."""

_QUALITY = {
    "quality-lead": "What a photo can bear out depends on how it was taken. "
    "Edges are as wide as their blur, in pixels of the full picture: about 0.5 is as sharp as a camera gets, above 1.5 is soft.",
    "quality-size": "{width} \u00d7 {height} px",
    "quality-unread": "could not be read",
    "quality-sharpness": "{sharpness} px/mm at the hook; edges {blur} px wide",
    "quality-blur": "edges {blur} px wide",
    "quality-edges-none": "too few edges to tell",
    "quality-clipped": "white {white} %, black {black} %",
    "quality-trailing": "{n} bytes behind the picture belong to no picture or film.",
    "quality-trailing-one": "1 byte behind the picture belongs to no picture or film.",
    "quality-alike": "Looks nearly like",
    "quality-nothing": "nothing noticed",
    "photo-indicator": "Indicator",
    "photo-indicator-locked": "locked colour at this moment",
    "photo-indicator-open": "open colour at this moment",
    "photo-indicator-undecided": "not decided by this photo",
    "photo-read": "Read by",
    "photo-read-locked": "{by}, who saw the locked state",
    "photo-read-open": "{by}, who saw the open state",
    "photo-measured": "Measured",
    "photo-measured-of": "hook position, {subject}",
    "matrix-measured": "What its photo shows:",
    "matrix-computed": "Computed from its channels:",
    "matrix-dynamic": "sled run {id}, {direction}",
    "matrix-static-pull": "static pull {id}, {direction}",
}

MEASURED_PAGE: dict[str, str] = {
    **_TITLES,
    **_PLACE,
    **_WHY_NOT,
    **_TERMS,
    **_DATUM,
    **_PAPER_ADVICE,
    **_QUALITY,
    **WINDOWS_PAGE,
}
