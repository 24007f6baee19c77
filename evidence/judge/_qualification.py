"""Qualification of the people who worked: by function, by what it is for, on the day, with its paper."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from evidence.judge._base import Look, Verdict
from evidence.judge._evidence import (
    Stop,
    Used,
    exhibit_stop,
    missing,
    not_shown,
    pieces,
    recorded,
    used_file,
)
from evidence.judge._scope import people_asked
from evidence.judge._times import works
from evidence.judge._validity import look, not_yet, occasions, valid_until
from evidence.judge.case import Case
from evidence.model.criterion import ValidOn
from evidence.model.names import Role
from evidence.model.record import Person, Qualification


@dataclass(frozen=True)
class _Held:
    """A qualification with what keeps it from counting."""

    spell: Qualification
    stop: Stop | None

    def covers(self, day: date) -> bool:
        return self.spell.from_ <= day and (self.spell.until is None or day <= self.spell.until)


def people(criterion: ValidOn, subject: str, case: Case) -> Sequence[Look]:
    """Each person asked for on each occasion."""
    asked_of = people_asked(criterion, case.record)
    own = [person for person in asked_of if person.id == subject]
    return [one for person in own or asked_of for one in _person(criterion, person, case)]


def _person(criterion: ValidOn, person: Person, case: Case) -> Sequence[Look]:
    wanted = criterion.qualification
    spells = [one for one in person.qualifications if wanted is None or one.what == wanted]
    used = recorded(person.id)
    if not spells:
        stop = not_shown("qualification-not-recorded", entry=person.id, qualification=wanted or "any")
        return [Look(used, stop, name=person.id)]
    held = [_Held(one, _paper_stop(criterion, one, person, case)) for one in spells]
    if all(one.stop for one in held):
        return [Look(used, held[0].stop, name=person.id)]
    papers = [one.spell.exhibit for one in held if one.stop is None and one.spell.exhibit]
    for paper in papers:
        used |= used_file(paper, case)
    if criterion.evidence_from:
        for piece in pieces(criterion.evidence_from, person.id, case):
            used |= piece.used if piece.stop is None else Used()
    done = [work for work in works(case.record) if work.by == person.id]
    compare = partial(_qualified, person.id, held)
    return [look(person.id, used | one.used, one, compare) for one in occasions(criterion, case, done)]


def _paper_stop(criterion: ValidOn, one: Qualification, person: Person, case: Case) -> Stop | None:
    if one.exhibit is not None:
        return exhibit_stop(one.exhibit, case, Role.QUALIFICATION) or _of_another(one.exhibit, person, case)
    if not criterion.evidence_from:
        return None
    found = pieces(criterion.evidence_from, person.id, case)
    if any(piece.stop is None for piece in found):
        return None
    return found[0].stop if found else missing(criterion.evidence_from, person.id)


def _of_another(exhibit: str, person: Person, case: Case) -> Stop | None:
    """Whether a paper is filed as one other person's; a list of several is filed for the vehicle."""
    known = {one.id for one in case.record.people}
    filed = {entry.subject for entry in case.record.exhibits if entry.id == exhibit}
    filed |= {paper.subject for paper in case.record.documents if paper.exhibit == exhibit}
    others = tuple(sorted((filed & known) - {person.id}))
    if not others or person.id in filed:
        return None
    return not_shown("qualification-of-another", entry=person.id, exhibits=(exhibit,), found=others)


def _qualified(entry: str, held: Sequence[_Held], day: date) -> Verdict:
    shown = [one.spell for one in held if one.stop is None]
    covering = [one.spell for one in held if one.stop is None and one.covers(day)]
    if covering:
        ends = [one.until for one in covering if one.until is not None]
        # of several the one that lasts longest; one without an end never expires
        return valid_until(entry, max(ends) if len(ends) == len(covering) else None, day)
    # one whose paper cannot be used may well have held: missing evidence, not a lapse
    stops = [one.stop for one in held if one.stop is not None and one.covers(day)]
    if stops:
        return Verdict(stops[0].outcome, stops[0].reason)
    begun = [one.until for one in shown if one.from_ <= day and one.until is not None]
    if begun:
        return valid_until(entry, max(begun), day)
    return not_yet(entry, min(one.from_ for one in shown), day)
