"""English sentences for contradictions: rule to one sentence that names both sides and what to do.

Fields are the parameters that ``judge.codes`` promises for the rule.
"""

CONTRADICTIONS: dict[str, str] = {
    "declaration-before-last-test": (
        "The declaration is dated {declared}, but {entry} says {tested}, which is later. "
        "Correct the wrong date, or declare again now that everything is tested."
    ),
    "calibration-expired-on-work": (
        "{instrument} was used on {used} ({entry}); its calibration ran out after {last_day}. "
        "Have it checked, then measure or tighten again, or file the later certificate if there is one."
    ),
    "photo-outside-work": (
        "Photo {exhibit} shows work, but its camera says {taken}; the work was done from {first_day} to {last_day}. "
        "Take the photo again, or check the camera's clock and say what it shows."
    ),
    "serial-differs": (
        "{document} gives the serial number {claimed} for {subject}; the record says {recorded}. "
        "Read the label again and correct whichever is wrong."
    ),
    "order-broken": (
        "For {subject}, step {after} is timed {after_time} and step {before}, which must come first, {before_time}. "
        "Correct the time if it was typed wrong; if not, the later step must be done again."
    ),
    "tested-pair-differs": (
        "{document} is about {tested}; {subject} has {fitted}. "
        "Ask the maker for the report on the pair that is fitted."
    ),
    "vin-check-digit": (
        "The check digit of VIN {vin} is {found}; its other characters give {expected}. "
        "In North America both must agree: read the number again from the plate. Elsewhere many makers do not use it."
    ),
    "signatory-is-fitter": (
        "{person} signs the declaration and also did the work ({entry}). "
        "This is allowed; a second pair of eyes is better."
    ),
    "same-file-twice": (
        "{first} and {second} are the same file. "
        "If each should show something of its own, take the missing photo and add it."
    ),
    "exhibit-changed": (
        "File {exhibit} is not the one that was taken in. Put the original back, or add the new file and say why."
    ),
    "certificate-date-differs": (
        "The record says {instrument} was calibrated on {recorded}; the certificate {document} says {claimed}. "
        "Look at the certificate and correct the record."
    ),
}
