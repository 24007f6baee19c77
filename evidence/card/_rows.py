"""What a fitter writes down: the rows of a work card, from the profile, in the order of the manual."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from evidence.model.criterion import Counted, Criterion, Within
from evidence.model.names import ROLE_KINDS, Fact, Role, SubjectKind
from evidence.model.profile import Profile, ProfileScrews, ProfileStep
from evidence.quantity import Quantity

Kind = Literal["system", "step", "value", "cycles", "screws", "again"]
VEHICLE = "vehicle"
TORQUE = "torque"  # the word of a step that gives the torques of its screws
BOXES_PER_ROW = 24  # screws that one numbered row has boxes for
MAX_BOXES = 96  # screws of one group that the card has boxes for; larger groups want a log of the tool
AGAIN_ROWS = 4  # places for work done again, of each position
_CHARACTERISTIC = "characteristic."
_EXPECTED = {SubjectKind.POSITION, SubjectKind.SCREWS}
_PHOTO = frozenset({"photo"})


@dataclass(frozen=True)
class Limits:
    """Limits of the manual as the card prints them.

    Attributes:
        low, high: with unit; None where that side is open, both None where only the manual can tell.
        nominal: where there is no limit but a value to aim at.
        unit: symbol for the value box.
        page: page of the manual.
    """

    low: str | None
    high: str | None
    nominal: str | None
    unit: str
    page: int | None


@dataclass(frozen=True)
class Row:
    """One numbered row of the card.

    Attributes:
        kind: which boxes it has.
        subject: position, or ``vehicle``.
        name: step, characteristic, kind of cycles or screw group in the words of the profile.
        title: what to do; empty where the kind says it.
        page: page of the manual.
        limits: of the value; empty for what is no value.
        gives: characteristic that a step's own row has the box for.
        photos: roles of photos that the step gives.
        at_least: smallest number of cycles, where the manual has one.
        group: the screws of a row with one box for each.
        first, last: numbers of the screws that this row has boxes for.
    """

    kind: Kind
    subject: str
    name: str = ""
    title: str = ""
    page: int | None = None
    limits: tuple[Limits, ...] = ()
    gives: str = ""
    photos: tuple[Role, ...] = ()
    at_least: int | None = None
    group: ProfileScrews | None = None
    first: int = 1
    last: int = 1


def rows_of(profile: Profile, position: str, language: str) -> tuple[Row, ...]:
    """All rows of a position: system, then each step with what it gives, then what no step claims, then work done again.

    Args:
        profile: the fitting profile.
        position: id of the position.
        language: of the titles.
    """
    values = _values(profile, SubjectKind.POSITION, position, language)
    cycles = _cycles(profile, position, language)
    screws = {group.group: _screws(profile, group, position) for group in profile.screws}
    photos = _photos_asked(profile)
    rows: list[Row] = [Row("system", position)]
    giving = {step.screws: step.id for step in profile.steps if step.screws and TORQUE in step.yields}
    for step in profile.steps:
        rows += _step(step, position, (values, cycles, photos), language)
        if step.screws is not None and giving.get(step.screws) == step.id:
            rows += screws.pop(step.screws, ())
    rows += [row for group in screws.values() for row in group]
    rows += [*values.values(), *cycles.values()]
    return (*rows, *(Row("again", position) for _ in range(AGAIN_ROWS)))


def vehicle_rows(profile: Profile, language: str) -> tuple[Row, ...]:
    """Values that are asked of the vehicle as a whole."""
    return tuple(_values(profile, SubjectKind.VEHICLE, VEHICLE, language).values())


def _photos_asked(profile: Profile) -> frozenset[Role]:
    """Photos that the profile expects or rests a demand on: a step may yield cycles called like a photo's role."""
    asked = {each.role for each in profile.expected}
    asked.update(role for criterion in _criteria(profile) for role in getattr(criterion, "evidence_from", ()))
    return frozenset(role for role in asked if ROLE_KINDS[role] == _PHOTO)


def _step(
    step: ProfileStep,
    position: str,
    giving: tuple[dict[str, Row], dict[str, Row], frozenset[Role]],
    language: str,
) -> Iterator[Row]:
    """The step's own row, with the box of its value if it gives one only; then a row for each other thing it gives.

    Args:
        step: of the profile.
        position: id of the position.
        giving: rows of values and of cycles that no step has claimed yet, and the photos that are asked for.
        language: of the titles.
    """
    values, cycles, photos = giving
    given = [values.pop(name) for name in step.yields if name in values]
    own = Row("step", position, step.id, in_language(step.title, language), step.page)
    own = replace(own, photos=tuple(role for role in Role if role in photos and role.value in step.yields))
    if len(given) == 1:
        own = replace(own, gives=given[0].name, limits=given[0].limits)
        given = []
    yield own
    yield from given
    yield from [cycles.pop(name) for name in step.yields if name in cycles]


def _values(profile: Profile, kind: SubjectKind, subject: str, language: str) -> dict[str, Row]:
    """Characteristic to its row; several demands of one characteristic share it."""
    found: dict[str, Row] = {}
    for criterion in _criteria(profile):
        if not isinstance(criterion, Within) or not criterion.quantity.startswith(_CHARACTERISTIC):
            continue
        if (criterion.subject == SubjectKind.VEHICLE) != (kind == SubjectKind.VEHICLE):
            continue
        name = criterion.quantity.removeprefix(_CHARACTERISTIC)
        new = Row("value", subject, name, _title(criterion, language), criterion.page)
        row = found.setdefault(name, new)
        found[name] = replace(row, limits=(*row.limits, limits_of(criterion)))
    return found


def _binds(criterion: Within, group: ProfileScrews) -> bool | None:
    """Whether a demand binds a group of the profile; None where the profile alone cannot tell."""
    known = {
        Fact.SCREWS_THREAD: group.thread,
        Fact.SCREWS_CLASS: group.property_class,
        Fact.SCREWS_HEAD: group.head,
        Fact.SCREWS_COUNT: str(group.count),
    }
    told = {fact: known.get(fact) for fact in criterion.applies}
    if any(value is not None and value not in criterion.applies[fact] for fact, value in told.items()):
        return False
    return None if None in told.values() else True


def limits_of(criterion: Within, *, binds: bool | None = None) -> Limits:
    """The limits of a demand; where it may not bind this vehicle, its number is left to the manual.

    Args:
        criterion: the demand.
        binds: whether it does; None where its conditions are not known, so that only one without any is sure to.
    """
    low, high, nominal = map(criterion.bound, (criterion.low, criterion.high, criterion.nominal))
    unit = next((each.unit.symbol for each in (low, high, nominal) if each is not None), "")
    if criterion.limit != "held" or not (binds or not criterion.applies):
        return Limits(None, None, None, unit, criterion.page)
    return Limits(_text(low), _text(high), _text(nominal), unit, criterion.page)


def _cycles(profile: Profile, position: str, language: str) -> dict[str, Row]:
    found: dict[str, Row] = {}
    for criterion in _criteria(profile):
        if not isinstance(criterion, Counted) or criterion.count == "screws":
            continue
        name = str(criterion.count)
        row = found.setdefault(
            name, Row("cycles", position, name, _title(criterion, language), criterion.page, at_least=0)
        )
        found[name] = replace(row, at_least=max(row.at_least or 0, criterion.at_least))
    return found


def _screws(profile: Profile, group: ProfileScrews, position: str) -> tuple[Row, ...]:
    torque = tuple(
        limits_of(criterion, binds=binds)
        for criterion in _criteria(profile)
        if isinstance(criterion, Within) and criterion.quantity == "screws.torque"
        if (binds := _binds(criterion, group)) is not False
    )
    boxes = max(1, min(group.count, MAX_BOXES))
    return tuple(
        Row(
            "screws",
            position,
            group.group,
            page=group.page,
            limits=torque,
            group=group,
            first=first,
            last=min(first + BOXES_PER_ROW - 1, boxes),
        )
        for first in range(1, boxes + 1, BOXES_PER_ROW)
    )


def photos_of(profile: Profile, position: str) -> tuple[Role, ...]:
    """Photos that the profile wants of a position and its screws, or of the vehicle, in its order."""
    kinds = {SubjectKind.VEHICLE} if position == VEHICLE else _EXPECTED
    return _expected(profile, kinds, photos=True)


def papers_of(profile: Profile, position: str) -> tuple[Role, ...]:
    """What else the profile wants filed there: logs, papers."""
    kinds = {SubjectKind.VEHICLE} if position == VEHICLE else _EXPECTED
    return _expected(profile, kinds, photos=False)


def _expected(profile: Profile, kinds: set[SubjectKind], *, photos: bool) -> tuple[Role, ...]:
    wanted = (each.role for each in profile.expected if each.per in kinds)
    return tuple(
        dict.fromkeys(
            role for role in wanted if (ROLE_KINDS[role] == _PHOTO) == photos and role != Role.WORK_CARD
        )
    )


def in_language(titles: Mapping[str, str], language: str) -> str:
    """The text in that language, else in English."""
    return titles.get(language) or titles["en"]


def _title(criterion: Criterion, language: str) -> str:
    return in_language(criterion.title, language) if criterion.title else ""


def _criteria(profile: Profile) -> Iterator[Criterion]:
    return (item.criterion for item in profile.items)


def _text(bound: Quantity | None) -> str | None:
    return None if bound is None else str(bound)
