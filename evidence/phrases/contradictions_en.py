"""English sentences for contradictions: rule to one sentence that names both sides and what to do.

Fields are the parameters that ``judge.codes`` promises for the rule.
"""

CONTRADICTIONS: dict[str, str] = {
    "declaration-before-last-test": (
        "The declaration is dated {declared}, but the record has {tested} for {entry}, which is later. "
        "Correct the wrong date, or declare again after the last work and test."
    ),
    "calibration-expired-on-work": (
        "{instrument} was used on {used} for {entry}; its calibration ran out after {last_day}. "
        "Have it checked, then measure or tighten again, or file the later certificate if there is one."
    ),
    "qualification-ended": (
        "{person} worked on {day} on {entry}; the qualification {qualification} recorded for that person ended after {last_day}. "
        "File the later paper if there is one; else have the work looked over by somebody who is qualified."
    ),
    "card-page-beyond": (
        "Page {page} of work card {exhibit} is named for {entries}; the scan ends with page {pages}. "
        "Scan every page of the card and add it again, or correct the page."
    ),
    "audit-moved": (
        "{entry} of {screws} on {audited}: a screw turned before the audit torque was reached. "
        "Find out why; take the screws out, clean them, put on new thread-locker and tighten again, as the manual says."
    ),
    "audit-outside-range": (
        "{entry} found {value}, but {instrument} measures {low} to {high}. "
        "Check the torque again with a tool that measures there."
    ),
    "torques-identical": (
        "{entry} has {value} on all {count} screws, read from {instrument}, which shows what is reached. Readings taken one "
        "by one seldom agree to the last digit. Ask who wrote the values down; if the tool only clicks at its setting, say indicating: no."
    ),
    "retorqued-after-cure": (
        "{entry} put torque on {screws} again at {redone}; its thread-locker was applied at {applied}, and no later one is "
        "recorded, nor that the screws were taken out. Cured thread-locker does not hold again: take out, clean, apply and "
        "tighten, or record what was done. Common practice, no source."
    ),
    "audited-above-torque": (
        "{entry} went up to {found} on {screws}, which was tightened to {recorded}, after its thread-locker had begun to cure. "
        "An audit stays below the tightening torque; more can turn the screw and break the bond. Ask the maker of the system. "
        "Common practice, no source."
    ),
    "torque-log-differs": (
        "{screws} has a torque of {recorded} in the record; log {logs} has no row left for it; its rows hold {found}. "
        "Correct the record, or file the log of this group."
    ),
    "torque-log-too-short": (
        "The record has {recorded} torques of {screws}; log {logs} has {found} rows. "
        "File the whole log, or record only what was measured."
    ),
    "torque-log-unread": (
        "Torque log {exhibit} of {screws} was not compared: its columns are {columns}. A log has one row for each tightening "
        "and one column whose heading has a unit of torque, such as torque [N·m]; where two have one, that of what was reached "
        "is headed actual, found, final, measured or peak."
    ),
    "cycle-log-differs": (
        "Log {exhibit} has {found} cycles, one in each row; {entries} in the record add up to {recorded}. "
        "Count again; a log holds every cycle of the entries that name it and no other."
    ),
    "cycle-log-faults-differ": (
        "Cycles with a fault: log {exhibit} shows {found}, {entries} in the record have {recorded}. "
        "Correct the record, or the log if it was kept wrongly; a cycle with a fault counts, also when the next one was good."
    ),
    "cycle-log-unread": (
        "Which cycles of log {exhibit} had a fault was not read; {entries} in the record name it. Its columns are {columns}. A "
        "log has one row for each cycle and one column headed ok with 1 or 0, or headed fault with 0 or 1."
    ),
    "end-reading-beyond": (
        "{use} found {found} of play at the {end} end; {entry} says {recorded} for that way. "
        "Measure both ends again and record the larger play."
    ),
    "photo-outside-work": (
        "Photo {exhibit} shows work, but its camera says {taken}; the first day of the work was {first_day}, the last {last_day}. "
        "Take the photo again; or, if that clock is wrong, photograph the clock ticket with it and write down under clocks "
        "what it shows."
    ),
    "camera-clock-jumped": (
        "When the clock in photo {first} showed {first_at}, the camera said {first_claimed}; when that in {second} showed "
        "{second_at}, it said {second_claimed}, which is {minutes} minutes further ahead. The camera's clock was set in "
        "between, or two phones of one kind took them. Photograph the clock ticket again, with each phone."
    ),
    "camera-clock-after-filing": (
        "The camera of {second} says {second_claimed}, but the photo was filed at {second_at} already. When the clock in "
        "{first} showed {first_at}, such a camera said {first_claimed}, and was at least {minutes} minutes less ahead. Its "
        "clock was set in between, or two phones of one kind took them. Photograph the clock ticket again, with each phone."
    ),
    "photo-against-value": (
        "{entry} was recorded as {recorded}; photo {exhibit} shows {found}. "
        "Measure again with the caliper and look at how card and slider lie in the photo."
    ),
    "window-against-reading": (
        "{person} read the lock window in photo {exhibit} as {recorded}; the photo shows the {found} colour. "
        "Look at the photo again, and at the window itself; then correct the reading, or take both photos again."
    ),
    "serial-differs": (
        "{document} gives the serial number {claimed} for {subject}; the record says {recorded}. "
        "Read the label again and correct whichever is wrong."
    ),
    "label-differs": (
        "The code on the label in photo {exhibit} says {found}; the record says {recorded} for {subject}. "
        "Read the label itself and correct the record, or file the photo where it belongs."
    ),
    "photo-of-another-vehicle": (
        "Photo {exhibit} shows the ticket of {found}, but it is filed for {expected}. "
        "If it is of that vehicle, move it there: sillmark move JOB {exhibit} --to OTHER --reason wrong-vehicle. "
        "Then take the photo of this vehicle."
    ),
    "photo-of-another-place": (
        "Photo {exhibit} shows the ticket of place {found}, but it is filed for place {expected}. "
        "File it for the place it shows, or take it again with the right ticket."
    ),
    "photo-ticket-not-printed": (
        "Photo {exhibit} shows a ticket ({found}) that was not printed for job {expected}. "
        "Find out where that ticket came from; take the photo again with the ticket of the job folder."
    ),
    "order-broken": (
        "For {subject}, step {after} is timed {after_time} and step {before}, which must come first, {before_time}. "
        "Correct the time if it was typed wrong; if not, do step {after} again."
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
        "{person} signs the declaration and also did the work: {entry}. "
        "This is allowed; a second pair of eyes is better."
    ),
    "same-file-twice": (
        "{first} and {second} are the same file. "
        "If each should show something of its own, take the missing photo and add it."
    ),
    "same-picture-twice": (
        "{second} shows the same picture as {first}, though the files differ and each should show something of its own. "
        "Look whether {second} is {first} saved again; if so, take the missing photo and add it."
    ),
    "exhibit-changed": (
        "File {exhibit} is not the one that was taken in. Put the original back, or answer why it changed."
    ),
    "certificate-date-differs": (
        "The record says {instrument} was calibrated on {recorded}; the certificate {document} says {claimed}. "
        "Look at the certificate and correct the record."
    ),
    "claim-not-on-page": (
        "The record says that {document} gives {value} as {claim} on page {page}; the text of that page does not. "
        "Look at the paper and correct the value or the page."
    ),
    "claim-on-other-page": (
        "The record says that {document} gives {value} as {claim} on page {page}; the text of that page does not, "
        "that of page {found} does. Look at the paper and correct the page."
    ),
    "release-before-last-work": (
        "The work was released at {released}, but {entry} says {done}, which is later. "
        "Correct the wrong time, or release again now that everything is done."
    ),
    "screws-differ-from-manual": (
        "For {subject}, {fact} is recorded as {recorded}; the manual says {expected}. "
        "Look at the screws: correct the record, or fit the screws that the manual names."
    ),
    "cure-time-differs": (
        "The data sheet {document} wants {claimed} for the thread-locker to cure; the manual asks for {expected}, "
        "which is what is judged here. Ask the maker of the system which one holds, and wait the longer one."
    ),
    "lot-differs": (
        "{document} gives lot {claimed} for {subject}; the record says {recorded}. "
        "Look at the part, its bag or bottle: correct the record, or file the paper of the lot that was fitted."
    ),
    "profile-not-in-force": (
        "Work was done on {day} ({entries}), after {bound}, the last day of the manual's revision {profile}. "
        "Use the profile of the revision in force on that day, or correct the days if they were mistyped."
    ),
    "profile-not-yet-in-force": (
        "Work was done on {day} ({entries}), before {bound}, the first day of the manual's revision {profile}. "
        "Use the profile of the revision in force on that day, or correct the days if they were mistyped."
    ),
    "vin-without-photo": (
        "VIN {vin} stands beside build number {build}, and no photo shows that both are this vehicle. "
        "Take a photo of the vehicle's plate, add it as label-vehicle, and name it under vin_bound."
    ),
    "vin-photo-unusable": (
        "Photo {exhibit}, which is to bind VIN {vin} to this vehicle, is not there or cannot be used. Take it again."
    ),
    "stage-out-of-order": (
        "People of {later} were at work on {entry} at {done}, before {earlier} had finished on {finished}. "
        "Correct the wrong day, or the order of the parties."
    ),
    "stage-finished-early": (
        "{later} finished on {done}, before {earlier}, whose part comes first, on {finished}. "
        "Correct the wrong day, or the order of the parties."
    ),
    "stretcher-not-approved": (
        "The {model} that goes with {subject} is not among the models that may stand there: {expected}. "
        "Deliver one of these, or file the maker's word on the other."
    ),
    "answer-without-contradiction": (
        "The answer of {by} to {answer} answers nothing: no such contradiction is found now. "
        "Copy the id as check prints it, or take the answer out. Open for the same thing: {open}."
    ),
    "typed-twice-differs": (
        "{place} was typed as {first}; {by} typed it again from the paper as {second}. "
        "Look at the paper together and correct whichever is wrong."
    ),
    "concession-requirement-unknown": (
        "Concession {concession} covers nothing: nothing asks for {requirement} here. "
        "Copy the requirement letter by letter as check prints it."
    ),
    "concession-other-subject": (
        "Concession {concession} covers nothing: {requirement} is not asked of {subject}, but of {asked}. "
        "Correct the subject if it was mistyped."
    ),
    "concession-wrong-authority": (
        "Concession {concession} covers nothing: the {authority} cannot concede {requirement}. "
        "Who can: {expected}. Ask there, and record who granted it."
    ),
    "concession-authority-not-named": (
        "Concession {concession} covers nothing: it is granted by the {authority}, and no such party stands under parties. "
        "Name the organisation there."
    ),
    "concession-later": (
        "Concession {concession} covers nothing yet: it is dated {at}, after {day}, for which this is judged. "
        "Correct the day if it was mistyped."
    ),
    "concession-ended": (
        "Concession {concession} covers nothing any more: it ended after {until}, and this is judged for {day}. "
        "Ask for a new one, or close the point."
    ),
    "claim-against-channel": (
        "{document} (page {page}) claims {claimed} for: {claim}. Channel {channel} in {exhibit} gives {recomputed} for {test}. "
        "They may differ by {allowed}: half a unit of the claim's last digit and the uncertainty that the record states. "
        "Ask the laboratory which of them holds, or correct what was typed."
    ),
    "claim-against-channel-practice": (
        "{document} (page {page}) claims {claimed} for: {claim}. Channel {channel} in {exhibit} gives {recomputed} for {test}. "
        "They may differ by {allowed}: half a unit of the claim's last digit and 2 % (common practice, no source, because the "
        "record states no uncertainty). Ask the laboratory which of them holds, or correct what was typed."
    ),
    "test-date-differs": (
        "{document} says that its test was run on {claimed}; the record says {recorded} of {test}. "
        "Look at the paper and at the file of the channels, and correct whichever is wrong."
    ),
    "test-mass-differs": (
        "{document} gives a tested mass of {claimed}; the record says {recorded} of {test}. "
        "Look at the paper again, and ask the laboratory what was on the sled."
    ),
    "concession-paper-unusable": (
        "Concession {concession} covers nothing: its paper {exhibit} is not there or cannot be used. "
        "Add it as a readable PDF."
    ),
    "concession-permit-late": (
        "Deviation permit {concession} covers nothing: it is dated {at}, and the work began on {worked}. "
        "A permit must be older than the work; ask for a concession after the fact."
    ),
    "concession-limit-exceeded": (
        "Concession {concession} covers nothing: it allows {limits}, and for {requirement} {found} is recorded. "
        "Bring the value inside these limits, or ask for a concession that covers it."
    ),
    "concession-limit-undecided": (
        "Concession {concession} covers nothing: it allows {limits}, and what is recorded for {requirement} "
        "does not show that every value lies inside. Measure again, or more exactly."
    ),
    "concession-limit-of-another-kind": (
        "Concession {concession} covers nothing: its limits {limits} cannot be compared with what {requirement} asks. "
        "Write them as the requirement does, with its unit, or leave them out if the paper names none."
    ),
    "concession-limits-crossed": (
        "Concession {concession} covers nothing: of its limits {limits} the lower lies above the upper. "
        "Correct whichever was mistyped."
    ),
    "concession-permit-before-unknown": (
        "Deviation permit {concession} of {at} covers nothing: the record does not show that the work on {subject} "
        "began later. Fill in the times of the work."
    ),
}
