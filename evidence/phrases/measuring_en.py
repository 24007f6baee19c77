"""English words of measuring from photos: why a photo cannot be measured, what to know of one, and the answer's text."""

_CANNOT: dict[str, tuple[str, str]] = {
    "photo-too-small": (
        "The picture is only {found} pixels on its shorter side; {expected} are needed at least.",
        "Take the photo itself from the phone, not a preview or a copy that a messenger made smaller.",
    ),
    "card-not-seen": (
        "The gauge card is not clearly in the picture: {found} of its 12 tags were found, {expected} are needed.",
        "Show the whole card: nothing on it, no glare, no mirror image, sharp, and not a second card in view.",
    ),
    "card-not-flat": (
        "The card's tags do not lie in one plane as printed; they are off by about {residual} pixels.",
        "Mount the card flat on rigid stock and press it down; print it at 100 % without any fitting to the page.",
    ),
    "card-too-small": (
        "The card is too small in the picture: {found} pixels per mm at the hook, {expected} are needed.",
        "Go nearer, so that card and hook fill most of the picture, and do not crop or shrink the photo.",
    ),
    "slider-not-seen": (
        "The slider's tag was not found.",
        "Lay the slider against the hook, its tag up and in full view. Without one, give two points with --points.",
    ),
    "card-twice": (
        "A second gauge card, or a mirror image of one, is in the picture: {found} squares are there twice.",
        "Take the other card away, or cover the mirror, and take the photo again.",
    ),
    "card-faint": (
        "The card's squares can be read but not measured: only {found} of 12 have clear edges, {expected} are needed.",
        "Give more light from the side, keep every square off the picture's edge, and take the photo again.",
    ),
    "slider-faint": (
        "The slider's square can be read but not measured: an edge of it is too dark, in glare, or out of the picture.",
        "Give even light, keep the whole slider in the picture, and take the photo again.",
    ),
    "slider-far": (
        "The slider lies {found} mm beside the card; at most {expected} mm are taken.",
        "Lay the card right beside the hook, and take other sliders out of the picture.",
    ),
    "slider-twice": (
        "The slider's square is in the picture more than once, so nobody can tell which one touches the hook.",
        "Take the other slider away, or cover the mirror, and take the photo again.",
    ),
    "slider-not-flat": (
        "The slider does not lie flat on the card's plane: its tag is {found} mm out of square there.",
        "Lay card and slider on the same flat surface, on stock of the same thickness.",
    ),
    "slider-turned": (
        "The slider is turned against the card by {found} degrees; at most {expected} are taken.",
        "Push the slider's whole front edge against the hook, and the card's whole edge against the sill.",
    ),
    "photo-blurred": (
        "The photo is not sharp: the tags' edges are {found} pixels wide, at most {expected} are taken.",
        "Take it again: wipe the lens, tap on the card to focus, hold still, and give more light.",
    ),
    "slider-off-plane": (
        "By its size the slider stands {found} mm above the card's plane, where {expected} mm is expected.",
        (
            "Bring it to that height: on stock as thick as the card's, or raised by the profile's contact height. "
            "Without a profile the card's own plane is expected."
        ),
    ),
    "views-disagree": (
        "The photos disagree by {found} mm, more than their uncertainty explains.",
        "Take them again one after the other without touching card or slider; all must show the same set-up.",
    ),
    "points-outside": (
        "A point lies outside the picture, which is {width} by {height} pixels as it is seen upright.",
        "Give x from the left and y from the top of the upright picture, in pixels of the whole photo.",
    ),
    "points-far": (
        "A point lies {found} mm beside the card; at most {expected} mm are taken.",
        "Lay the card right beside the hook, and set both points on the hook's own base line.",
    ),
    "points-close": (
        "The two points are only {found} mm apart; at least {expected} mm are needed.",
        "Set one point at each end of the hook's base line.",
    ),
    "points-turned": (
        "The line through the two points is turned against the card by {found} degrees; at most {expected} are taken.",
        "Set both points where the hook's face towards the sill meets the floor.",
    ),
}

_NOTICED: dict[str, tuple[str, str]] = {
    "view-slanting": (
        "The photo was taken {found} degrees from straight above, along the measured direction; up to {limit} is good.",
        "Hold the phone straight above the gap between sill and hook.",
    ),
    "view-oblique": (
        "The photo was taken {found} degrees from straight above; above {limit} it decides nothing by itself.",
        "Add a second photo of the same set-up from straight above, or from beside the hook.",
    ),
    "photo-soft": (
        "The photo is a little soft: edges are {found} pixels wide, up to {limit} is good.",
        "Tap on the card to focus and hold still.",
    ),
    "focal-not-stated": (
        "The file does not say how long the lens is, or was cropped; {assumed} mm is assumed.",
        "Use the photo as the phone wrote it, or give the lens with --focal.",
    ),
    "card-clipped": (
        "On {found} % of the card the light is lost: it is brighter than the picture can show.",
        "Avoid flash and glare, or tap on the white of the card so that the phone takes less light.",
    ),
    "card-dark": (
        "The card's paper is dark in the picture: {found} of 255, {limit} would do.",
        "Give more light, from the side.",
    ),
    "photo-of-screen": (
        "A fine regular grid covers the whole picture, as in a photo of a screen.",
        "Use the photo itself, not a picture of it on a screen.",
    ),
    "photo-scan-mode": (
        "The picture looks straightened or whitened by a scanning program.",
        "Take it with the phone's plain camera; what straightens a page changes distances.",
    ),
    "photo-cropped": (
        "The picture has another shape than the camera gave it, so it was cropped.",
        "Use the photo as the phone wrote it.",
    ),
    "points-clicked": (
        "The hook's line was set by hand and not shown by the slider.",
        "Where a slider can be laid, measure with it.",
    ),
    "views-alike": (
        "It was taken from the very place of {other}, so it may be a copy and tells nothing new.",
        "Take the second photo from another place, from beside the hook.",
    ),
}

_PROBLEMS: dict[str, tuple[str, str]] = {
    "measure-not-photo": (
        "This is {found}, not a photo.",
        "Give JPEG, PNG or HEIC photos that show the gauge card.",
    ),
    "measure-photo-twice": (
        "This is the same photo as {other}.",
        "Give each photo once; a second photo must be another one, taken from another place.",
    ),
    "measure-photos-many": (
        "{found} photos are too many for one set-up; at most {limit} are taken.",
        "Measure each set-up of card and slider by itself.",
    ),
    "measure-points-photos": (
        "The option --points belongs to one photo, and {found} were given.",
        "Measure that photo alone.",
    ),
    "measure-points-malformed": (
        "Expected two points, found '{found}'.",
        "Write them as x1,y1,x2,y2 in pixels of the upright picture, e.g. 1810,1402,2160,1398.",
    ),
    "measure-overlay-kind": (
        "The picture with the measurement is written as JPEG or PNG only.",
        "Let its name end in .jpg or .png.",
    ),
    "measure-overlay-is-photo": (
        "The picture would be written over the photo itself.",
        "Give it another name; the photo is the evidence.",
    ),
    "measurement-incomplete": (
        "A measurement has a value without its uncertainty, or neither value nor reason.",
        "It was not written by this program as it is; measure again.",
    ),
}

MEASURING: dict[str, tuple[str, str]] = {**_CANNOT, **_NOTICED, **_PROBLEMS}

_CAUSES: dict[str, str] = {
    "cause-photo-too-small": "the picture has too few pixels",
    "cause-card-not-seen": "the gauge card is not clearly in the picture",
    "cause-card-faint": "too few of the card's squares have clear edges",
    "cause-slider-far": "the slider lies too far beside the card",
    "cause-card-not-flat": "the gauge card does not lie flat",
    "cause-card-too-small": "the gauge card is too small in the picture",
    "cause-slider-not-seen": "the slider's tag was not found",
    "cause-card-twice": "a second gauge card, or a mirror image of one, is in the picture",
    "cause-slider-twice": "the slider's tag is in the picture more than once",
    "cause-slider-not-flat": "the slider does not lie flat on the card's plane",
    "cause-slider-turned": "the slider is turned against the card",
    "cause-slider-off-plane": "the slider does not stand at the height where it should",
    "cause-photo-blurred": "the photo is not sharp",
    "cause-views-disagree": "the photos disagree more than their uncertainty explains",
    "cause-points-outside": "a point lies outside the picture",
    "cause-points-far": "a point lies too far beside the card",
    "cause-points-close": "the two points are too near to each other",
    "cause-points-turned": "the line through the two points is turned against the card",
}
"""Why a photo cannot be measured, as it stands inside another sentence; the figures stand with the photo itself."""

_KINDS: dict[str, str] = {
    "dossier-word-file-kind-text": "A text file",
    "dossier-word-file-kind-pdf": "A PDF",
    "dossier-word-file-kind-workbook": "A workbook",
}

MEASURING_WORDS: dict[str, str] = {
    **_CAUSES,
    **_KINDS,
    "measure-value": "Hook position {value} mm ± {expanded} mm (95 %)",
    "measure-none": "Hook position: not measured",
    "measure-limits": "limits {low} to {high} mm",
    "measure-limit-low": "at least {low} mm",
    "measure-limit-high": "at most {high} mm",
    "measure-rests": "It rests on",
    "measure-view": "{exhibit}: {tags} of 12 card tags, {obliqueness}° from straight above, camera {height} mm above the card",
    "measure-sharp": "{sharpness} pixels per mm, edges {blur} pixels wide",
    "measure-slider-level": "slider by its size {height} mm above the card, turned {turn}°",
    "measure-profile": "profile {profile}: hook touched {height} ± {spread} mm above the card, {offset} mm added",
    "measure-no-profile": "no profile: slider in the card's plane, nothing added",
    "measure-terms": "uncertainty, mm: {terms}",
    "measure-assumed": "assumed for a card cut and laid with care, and whose rulers were read",
    "measure-trial": "from the workshop's own trial: {priors}; the rest assumed for a card cut and laid with care",
    "measure-notice": "To know",
    "measure-verdict": "What it would mean",
    "measure-inside": "Inside the limits of {profile}, uncertainty included.",
    "measure-outside": "Outside the limits of {profile}, uncertainty included.",
    "measure-open": "Too near a limit of {profile} to tell: the uncertainty reaches across it.",
    "measure-undecided": "It decides nothing yet: a second photo from beside the hook is needed, card and slider untouched.",
    "measure-margin": "From this direction, an unseen height of the slider could still hide {margin} mm of it.",
    "measure-caliper": "The recorded caliper reading is what is judged; a photo only supports or contradicts it.",
    "measure-overlay-written": "Picture with the measurement: {path}",
    "measure-found-card": "Squares of the card found once, blue: {found} of {whole}; {least} are needed at least.",
    "measure-found-twice": "Squares of the card found more than once, pink: {found}. They are not used.",
    "measure-found-slider-0": "The slider's square was not found.",
    "measure-found-slider-1": "The slider's square was found, red.",
    "measure-found-slider-2": "The slider's square was found more than once, red. None of them is used.",
    "measure-no-datum": "The profile {profile} says nothing of the hook's datum.",
    "step-measure": "measuring {count} photos",
    "measure-term-picture": "picture",
    "measure-term-plane-height": "slider's height",
    "measure-term-focal-length": "lens",
    "measure-term-print-scale": "print scale",
    "measure-term-cut": "cut edges",
    "measure-term-gap": "gaps at sill and hook",
    "measure-term-yaw": "squareness",
    "measure-term-zero-check": "the card's zero check",
    "measure-term-clicked-points": "points set by hand",
}
