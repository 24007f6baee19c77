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
        "Bring it to that height: on stock as thick as the card's, or raised by the profile's contact height.",
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
        "This is no photo but {found}.",
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
        "--points belongs to one photo, and {found} were given.",
        "Measure that photo alone.",
    ),
    "measure-points-malformed": (
        "'{found}' is not two points.",
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

MEASURING_WORDS: dict[str, str] = {
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
    "measure-overlay-none": "No picture was written, because nothing was measured.",
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
