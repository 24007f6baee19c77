"""English words of the dossier's timeline."""

TIMELINE_PAGE = {
    "title-timeline": "Timeline",
    "timeline-lead": "Local time. Steps stand in the manual's order, so that in good order their bars go down like stairs. A bar is as long as "
    "the time that somebody wrote; hours and days without work are left out.",
    "timeline-goes-on": "The timeline goes on.",
    "timeline-alt": "Timeline of {steps} steps, the first {first}, the last {last}; released: {release}; entries with which something is wrong: {wrong}.",
    "timeline-key-step": "step",
    "timeline-key-redo": "step done again",
    "timeline-key-check": "value or check",
    "timeline-key-photo": "photo, by its camera",
    "timeline-key-wait": "time that must pass",
    "timeline-key-valid": "calibration or qualification holds",
    "timeline-key-wrong": "something is wrong here: see below",
    "timeline-wait": "{time} after: {what}",
    "timeline-values": "Recorded values",
    "timeline-cycles": "Repeated checks",
    "timeline-audits": "Torque audit",
    "timeline-photos": "Photos: {subject}",
    "timeline-calibration": "{instrument}, calibrated",
    "timeline-qualification": "{person}, qualified",
    "timeline-release": "Released",
    "timeline-declaration": "Declaration",
    "timeline-see": "See",
}
