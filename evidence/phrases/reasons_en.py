"""English sentences for the reasons of findings: code to one or two short sentences.

Fields are the parameters that ``judge.codes`` promises for the code. Where a point is open, the sentence says what to
do. The words claim nothing beyond the evidence: they never say that a vehicle complies.
"""

from evidence.phrases._reasons_tests_en import TEST_CAUSES, TEST_REASONS
from evidence.phrases.coverage_en import REASONS as COVERAGE_REASONS

_MISSING = {
    "missing-which-vehicle": (
        "No photo shows which vehicle this is. Take one with the job ticket or the vehicle's plate readable."
    ),
    "missing-overview": (
        "No overview photo for {subject}. Step back until the whole stretcher place is in the picture."
    ),
    "missing-hook-position": (
        "No photo of the hook position for {subject}. Lay gauge card and slider down and take it from straight above the hook."
    ),
    "missing-lock-window-open": (
        "No photo of the open lock window for {subject}. Unlock, then take it with the window frame filling the "
        "picture."
    ),
    "missing-lock-window-locked": (
        "No photo of the locked lock window for {subject}. Take it with the window frame filling the picture."
    ),
    "missing-label-system": "No photo of the fastening system's label for {subject}. Take it with the serial readable.",
    "missing-label-stretcher": "No photo of the stretcher's label for {subject}. Take it with the serial readable.",
    "missing-label-vehicle": "No photo of the vehicle's plate. Take it with the number readable.",
    "missing-screws": "No photo of the screws for {subject}. Take one that shows every screw head of the group.",
    "missing-witness-marks": (
        "No photo of the witness marks for {subject}. Mark every screw and take one photo that shows all marks."
    ),
    "missing-charging": "No photo of the charging for {subject}. Dock the stretcher and show the charge lamp.",
    "missing-clock-ticket": "No photo of the clock ticket for {subject}. Photograph it beside a clock with every phone.",
    "missing-other-photo": "A photo is missing for {subject}. Take it and add it.",
    "missing-work-card": "The work card for {subject} is missing. Scan every page and add it.",
    "missing-type-test-report": (
        "No type-test report for {subject}. Ask the maker for it, or record who holds it and who has seen it."
    ),
    "missing-type-test-certificate": "No type-test certificate for {subject}. Ask the maker or laboratory for it.",
    "missing-floor-test-report": "No test report on the floor for {subject}. Ask the vehicle's builder for it.",
    "missing-calibration-certificate": (
        "No calibration certificate for {subject}. Ask whoever keeps the tools for the one of this serial number."
    ),
    "missing-qualification": "No proof of qualification for {subject}. Add the certificate.",
    "missing-manual-extract": "The pages of the manual are missing for {subject}. Add the pages that were worked to.",
    "missing-data-sheet": "The data sheet is missing for {subject}. Ask the supplier for the one of this lot.",
    "missing-declaration": "The declaration is missing. The signatory makes it when everything else is closed.",
    "missing-delivery-note": "The delivery note is missing for {subject}. Ask the stores for it.",
    "missing-concession": "The paper of the concession is missing for {subject}. Ask whoever granted it.",
    "missing-other-document": "A document is missing for {subject}. Add it.",
    "missing-cycle-log": "The log of the lock and release cycles is missing for {subject}. Add it.",
    "missing-torque-log": "The torque log is missing for {subject}. Export it from the tool, or scan the sheet.",
    "missing-pull-log": "The log of the pull test is missing for {subject}. Export it from the gauge.",
    "missing-test-channel": "No table of the test's measurements for {subject}. Ask the laboratory for it as CSV or XLSX.",
    "missing-evidence": "Nothing is filed for {subject} that could answer this; one of these would: {roles}.",
}
_APPLICABILITY = {
    "not-for-this-vehicle": "Asked only where {fact} is {expected}; here it is {found}.",
    "route-not-taken": "Not needed: the clause is answered by another route ({taken}). By itself this was {compared}.",
    "nothing-recorded": "The record holds no entry of this kind ({kind}). Add it to the record.",
    "fact-not-stated": "The record does not say {fact} for {subject}. Fill it in.",
    "fact-illegible": "{fact} of {subject} cannot be read. Look at the part or paper again and type it in.",
    "all-parts-met": "Each of the {count} parts is met.",
}
_EVIDENCE = {
    "too-few-files": "Filed for {subject}: {found} of {at_least} ({roles}). Add the rest.",
    "evidence-open": "No file is there yet for {exhibits} ({state}). Add it.",
    "evidence-promised": "{exhibits} is to come from {from} by {by}. Add it then; ask if it is late.",
    "file-missing": "The record names {exhibits}, but the file is not in the job folder. Put it back or add it again.",
    "file-withdrawn": "{exhibits} was withdrawn and does not count. Add a file that stands.",
    "file-moved-out": "{exhibits} was moved to {job} ({cause}) and does not count here. Run the same move again to finish it.",
    "not-yet-known": "{entry} was taken in after {known_on}, so it could not be known on that day.",
    "document-later": (
        "{entry} carries the day {found}, after {day}, for which this is judged, so it does not count yet. "
        "Correct the day if it was typed wrong."
    ),
    "recorded-for-vehicle": (
        "Recorded for the vehicle, which has several places: {entries}. This shows nothing of {subject}. "
        "Record it for the one place it was made at, and for each other place one of its own."
    ),
    "which-vehicle": (
        "{exhibits} does not show which vehicle it is of: neither this job's ticket for {subject} nor the code of a "
        "label that the record knows can be read in it. Take the photo again with the ticket in the picture."
    ),
    "exhibit-wrong-kind": (
        "The file of {exhibits} is a {found}, which cannot show this; what can: {expected}. "
        "Add that instead: a photo as JPEG or PNG, a document as PDF, a table as CSV, XLSX or ODS."
    ),
    "exhibit-illegible": "{exhibits} cannot be read. Take or scan it again.",
    "exhibit-unreadable": "The file of {exhibits} cannot be read ({cause}). Get it again from where it came and add it.",
    "exhibit-needs-extra": (
        "{exhibits} is an HEIC photo, and the extra that reads those was not installed where this was judged. "
        "Install it with pip install 'sillmark[heic]' and judge again, or add the photo as JPEG."
    ),
    "file-changed": "{exhibits} is not the file that was taken in. Put the original back, or answer why it changed.",
    "claims-not-recorded": "{exhibits} is filed, but nobody typed in what it says. Enter its statements in the record.",
    "claim-not-stated": "{document} does not state {claim}. Read the paper again, or ask its issuer for it.",
    "claim-open": "{claim} of {document} is not known yet ({state}). Fill it in.",
    "claim-nobody-read": "{document}, page {page}, holds no text that a program can read, and nobody is named who read there: "
    "{claim}. Let somebody read the paper and write who read it and on which page (read_by, page).",
    "claim-page-beyond": "{claim} of {document} is said to stand on page {page}; the file ends with page {pages}. "
    "Count from the first sheet and correct the page, or add the whole paper.",
    "claim-illegible": "{claim} of {document} cannot be read. Ask for a clean copy.",
    "value-not-recorded": "No value of {quantity} is recorded for {subject}. Measure it and write it down.",
    "value-open": "The value of {entry} is not there yet ({state}). Measure it and write it down.",
    "value-illegible": "The value of {entry} cannot be read. Measure it again.",
    "torque-not-recorded": "No torque is recorded for screw {number} of {screws}. Look at the card, or check the screw.",
    "time-open": "The time of {entry} is not known ({state}). Fill it in from the card.",
    "time-illegible": "The time of {entry} cannot be read. Ask whoever wrote it.",
}
_LIMITS = {
    "limit-not-held": (
        "The limit is not in this tool's data. Enter it from your own copy of the standard or manual, with its page."
    ),
    "practice-compared": "By common practice this would be: {compared}. Practice is shown here, not judged.",
    "limit-not-confirmed": (
        "Compared with a limit that nobody has confirmed ({mark}), this would be: {compared}. "
        "Confirm the limit from your own copy, with its page."
    ),
    "no-tolerance": (
        "The value is {value}; the manual gives {nominal} without a tolerance. Ask the maker for the tolerance."
    ),
    "window-shows-locked": "The indicator shows the locked colour at this moment: {locked} % of its window.",
    "window-shows-open": "The indicator shows the open colour at this moment: {open} % of its window.",
    "window-shows-other": (
        "The indicator does not show the {asked} colour at this moment: {locked} % of its window have the locked colour, "
        "{open} % the open one. Look at the lock itself; if the photo stands under the wrong role, correct that, else take it again."
    ),
    "window-read-by-person": (
        "The indicator in {exhibits} was read by {by}: the {reads} state at that moment. The photo alone did not decide: {cause}."
    ),
    "window-read-as-other": (
        "The indicator in {exhibits} was read by {by}: the {reads} state, where {asked} is asked. The photo alone did not decide: {cause}. "
        "Look at the lock itself, then take the photo again."
    ),
    "window-not-read": (
        "Nothing says yet that the indicator in {exhibits} shows the {asked} state: {cause}. "
        "Mend that, or have a person look, and write what that person saw under reads, with by."
    ),
    "photo-agrees": (
        "The photo shows {value} ± {expanded_uncertainty}: photo and caliper agree within their uncertainty "
        "(they differ by {en} times their joint uncertainty)."
    ),
    "photo-differs": (
        "The photo shows {value} ± {expanded_uncertainty}, which differs from what was recorded by more than both "
        "uncertainties ({en} times their joint uncertainty). Measure again, and look at how card and slider lie in the photo."
    ),
    "photo-too-coarse": (
        "The photo shows {value} ± {expanded_uncertainty} and does not contradict what was recorded; it says no more, because "
        "the uncertainty of photo or caliper is more than a quarter of the tolerance. Take one from straight above the hook."
    ),
    "photo-without-tolerance": (
        "The photo shows {value} ± {expanded_uncertainty} and does not contradict what was recorded; it says no more, "
        "because there are not two limits to compare its uncertainty with."
    ),
    "photo-told-first": (
        "The photo says nothing about the value that stands in the record now: when it was first measured the record "
        "said: {recorded}. Measure with the caliper, record that, and take a new photo."
    ),
    "photo-oblique": (
        "The photo says nothing: it was taken too much from the side. Add one from straight above the hook."
    ),
    "photo-not-usable": "The photo says nothing, because it cannot be used; why is said where the photo is asked for.",
    "photo-unmeasurable": "The photo says nothing: it cannot be measured ({cause}).",
    "photo-card-not-recorded": (
        "The photo says nothing, because no gauge card is recorded with the work at {subject}. "
        "List it under instruments, with its zero check, and name it at the step."
    ),
    "photo-card-in-doubt": (
        "The photo says nothing, because the gauge card {entry} could not be trusted on that day ({cause})."
    ),
    "gauge-not-checked": (
        "{instrument} is a gauge card without a zero check on or before {day}. "
        "Photograph it against a known length, and record both lengths under zero."
    ),
    "gauge-check-old": (
        "The zero of {instrument} was last checked on {checked}; that held until {until}, and it was used on {day}. "
        "Check it before its next use."
    ),
    "gauge-expired": (
        "{instrument} was to be used until {expires}, and it was used on {day}. Print a new card and take the photo again."
    ),
    "gauge-expiry-not-recorded": (
        "The record does not say until when {instrument} may be used. Copy the day from the card."
    ),
    "gauge-zero-off": (
        "{instrument} read {error} mm from the known length on {checked}; {limit} mm are allowed. "
        "Print and cut a new card and take the photo again."
    ),
    "gauge-zero-unsure": (
        "The zero check of {instrument} on {checked} is only sure to ± {uncertainty} mm; ± {limit} mm are needed. "
        "Check it against a block whose length is better known."
    ),
    "gauge-zero-uncertainty-not-stated": (
        "The zero check of {instrument} of {checked} does not say how sure both lengths are. Add both uncertainties."
    ),
    "photo-beside-unknown-uncertainty": (
        "The photo says nothing, because how well the recorded value is known is not stated. "
        "Record the uncertainty of the instrument."
    ),
    "within-limits": "{value} lies between {low} and {high}.",
    "at-least-minimum": "{value} is at least {low}.",
    "at-most-maximum": "{value} is at most {high}.",
    "outside-limits": "{value} lies outside {low} to {high}. Correct the fitting and measure again.",
    "under-minimum": "{value} is less than {low}. Correct it and measure again.",
    "over-maximum": "{value} is more than {high}. Correct it and measure again.",
    "uncertainty-spans-limit": (
        "{value} with an uncertainty of {expanded_uncertainty} is too near the limit {limit} to say. "
        "Measure with a better instrument, or move the value away from the limit."
    ),
    "uncertainty-unknown": (
        "The value is {value}, but nobody stated how exact it is. Enter the uncertainty of the instrument."
    ),
    "outside-instrument-range": "{value} lies outside the range of {instrument}. Measure with one made for it.",
    "outside-tool-range": (
        "{entry}: {value} lies outside the range of {instrument} ({low} to {high}), so that tool did not measure it. "
        "Tighten again with a tool made for it, or correct the tool or the value if it was mistyped."
    ),
    "instrument-wrong-kind": (
        "{entry} was taken with {instrument}, a {found}, which does not measure this. "
        "Name the right instrument, or measure again with one of these: {expected}."
    ),
}
_TYPES = {
    "evidence-there": "{found} files are there and readable.",
    "fields-complete": "{document} states everything that is asked.",
    "fields-missing": "{document} does not state: {fields}. Ask its issuer for what is missing.",
    "fields-illegible": "{document} cannot be read at: {fields}. Ask for a clean copy.",
    "inside-corridor": "{exhibit} stays inside the corridor; it comes nearest to its edge at {at}, with {margin} to spare.",
    "outside-corridor": "{exhibit} leaves the corridor; it is worst at {at}, margin {margin}. Ask the laboratory.",
    "corridor-unordered": "The corridor's points do not follow one another. Correct the limit that was entered.",
    "not-a-table": "{exhibit} is not a table of numbers. Add the measurements as CSV, XLSX or ODS.",
    "column-missing": "{exhibit} has no column headed {column}, or more than one. Head it with that word alone and its unit in brackets, and file the table again.",
    "column-unit-missing": "Column {column} of {exhibit} has no unit; {expected} is asked. Add it to the heading.",
    "column-unit": "Column {column} of {exhibit} is in {found}, which is not convertible to {expected}. "
    "Ask the laboratory for that quantity, or correct the heading.",
    "channel-too-short": (
        "{exhibit} does not cover the whole time of the corridor. Ask the laboratory for the full record."
    ),
    "fact-matches": "{fact}: {found}, as it should be.",
    "fact-differs": "{fact} is {found}; asked for: {expected}. Check the part, then correct the record or the fitting.",
    "fact-not-excluded": "{fact} is {found}, which is none of the excluded ones.",
    "fact-excluded": "{fact} is {found}; excluded are {excluded}. Set the part aside, fit another and record it.",
    "cycles-not-recorded": "No count is recorded for {subject}: {kind}. Do it and write down how many times.",
    "counted-enough": "Recorded: {found}; asked for: {at_least}.",
    "too-few-counted": "Recorded so far: {found}; asked for: {at_least}. Do the rest and write them down.",
    "faults-seen": "{faults} of {found} went wrong; allowed: {allowed}. Find the cause, then start again.",
    "valid-on-day": "{entry} was valid on {day}.",
    "expired-on-day": "{entry} was valid until {last_day}, but was needed on {day}. Renew it, and check what was done "
    "since: it may have to be done again.",
    "not-yet-valid-on-day": "{entry} is valid from {first_day}, but was needed on {day}. "
    "Add the paper that held on that day, or correct the day if it was typed wrong.",
    "calibration-after-use": (
        "{entry} was used on {day}; the calibration on record is of {first_day}. File the certificate that held on that day."
    ),
    "calibration-not-recorded": "No day of calibration is recorded for {entry}. Take it from the certificate.",
    "calibration-illegible": "The day of calibration of {entry} cannot be read. Look at the certificate.",
    "interval-not-recorded": "Nobody says how long a calibration of {entry} holds. Enter the months.",
    "declaration-not-calibration": (
        "What is filed for {entry} ({documents}) is its maker's declaration, not a calibration certificate. "
        "Ask whoever keeps the tools for the certificate with results and uncertainty."
    ),
    "tool-cycles-not-recorded": (
        "A calibration holds for {cycles} cycles here, and no count of {entry} is recorded. "
        "Read its counter, or count the screws tightened since, and write it down with the time."
    ),
    "tool-cycles-within": "{entry} had done at most {found} cycles since its calibration when it was used for {use}; {cycles} are allowed.",
    "tool-cycles-exceeded": (
        "{entry} had done {found} cycles since its calibration when it was used for {use}; {cycles} are allowed. "
        "Have it calibrated; check what was tightened since."
    ),
    "tool-cycles-undecided": (
        "The counts of {entry} do not say whether it was past {cycles} cycles when it was used for {use}. "
        "Read the counter after the last use and write it down with the time."
    ),
    "qualification-of-another": (
        "{exhibits} is filed as the paper of {found}, so it shows nothing of {entry}. "
        "Add the right one; a list that names several people is filed for the vehicle."
    ),
    "qualification-not-recorded": "No qualification ({qualification}) is recorded for {entry}. Add it with its paper.",
    "locker-not-recorded": "No thread-locker is recorded for {entry}. Enter product, lot and use-by day.",
    "use-by-not-recorded": "The use-by day of the thread-locker of {entry} is not recorded. Read it from the bottle.",
    "use-by-illegible": "The use-by day of the thread-locker of {entry} cannot be read. Ask the supplier by lot.",
    "event-not-recorded": "The record has no day for this yet ({event}). Fill it in when it is done.",
    "no-concession": "No concession was granted.",
    "in-order": "Step {before} was done before step {after}.",
    "out-of-order": "Step {after} was done before step {before}, which must come first. Do step {after} again, "
    "or correct the time if it was typed wrong.",
    "order-undecided": "The times do not say whether step {before} came before step {after}. Take exact times from the card.",
    "gap-long-enough": "At least {at_least} passed from step {before} to step {after}.",
    "gap-too-short": "Less than {at_least} passed from step {before} to step {after}. Do step {after} again after the full time.",
    "gap-undecided": (
        "The times do not say whether {at_least} passed from step {before} to step {after}. Take exact times from the card."
    ),
    "step-not-recorded": "Step {step} is not recorded for {subject}. If it was done, enter it from the card.",
    "reopened": (
        "This was recorded before step {redone} was done again, so it shows nothing any more. Do it again and record it: {step}."
    ),
    "reopened-undecided": (
        "Step {redone} was done again, and the times do not say whether this was recorded before or after that: {step}. "
        "Take exact times from the card."
    ),
    "reopened-undated": (
        "Step {redone} was done again, and nothing says whether this was taken before or after that ({evidence}). "
        "Take it again with a camera whose clock is set."
    ),
    "stated": "Stated by {by}, who is recorded as {function}.",
    "not-stated": "Nobody has stated this yet: {statement}. Somebody recorded as {function} must state it, under statements.",
    "stated-by-other": "“{statement}” is stated by {by}, who is not recorded as {function}. Somebody who is must state it.",
}
_LOOSE_ENDS = {
    "loose-field": "{place} has no value ({state}). Fill it in, or say why there is none.",
    "loose-release": "Nobody has released the work. Record the release when it is done.",
    "loose-declaration": "There is no declaration. The signatory makes it when everything else is closed.",
    "loose-loaner-overdue": (
        "The stretcher on loan ({place}) was to go back by {by}. Record what stands there now, or until when it stays."
    ),
    "loose-clock-unread": "{place} shows the clock ticket. Read the clock in it and write down under clocks what it shows.",
    "loose-card-row": "{place} does not say from which page and row of the work card it was typed. Add card_row.",
    "loose-promised": "{place} is to come from {from} by {by}. Fill it in then; ask if it is late.",
    "loose-illegible": "{place} could not be read. Read it again, on the thing itself or in a new photo, and fill it in.",
    "loose-typed-once": "{place} was typed only once from the work card. Let a second person type it again from the paper, "
    "under retyped.",
    "loose-overdue": "{place} should have been there by {by} and has no value ({state}). Ask for it.",
}
REASON_WORDS: dict[str, str] = {
    **TEST_CAUSES,
    # said in place of the sentence where it is one
    "evidence-there-one": "1 file is there and readable.",
    # what stands in place of a value that is not there
    "none-low": "no lower end",
    "none-high": "no upper end",
    "none-open": "nothing",
    "none-recorded": "nothing",
    "none-found": "(nothing)",
    # why evidence was moved to another job
    "cause-wrong-vehicle": "it is of another vehicle",
    "cause-wrong-role": "it stood under the wrong role",
    "cause-wrong-position": "it stood under the wrong place",
    "cause-role-given": "its role was given",
    "cause-duplicate": "it was there twice",
    "cause-other": "for another reason",
    # why a gauge card cannot be trusted
    "cause-gauge-not-checked": "its zero was not checked before",
    "cause-gauge-check-old": "its last zero check was too long ago",
    "cause-gauge-expired": "it was not to be used any more",
    "cause-gauge-expiry-not-recorded": "nobody wrote down until when it may be used",
    "cause-gauge-zero-off": "its zero was too far off",
    "cause-gauge-zero-unsure": "its zero check is not sure enough",
    "cause-gauge-zero-uncertainty-not-stated": "its zero check does not say how sure the lengths are",
}
"""What stands inside the sentences above."""

REASONS: dict[str, str] = {
    **_MISSING,
    **_APPLICABILITY,
    **_EVIDENCE,
    **_LIMITS,
    **_TYPES,
    **COVERAGE_REASONS,
    **TEST_REASONS,
    **_LOOSE_ENDS,
}
"""Code to sentence."""
