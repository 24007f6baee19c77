"""Rule on screws: a recorded group is not the one that the manual describes under the same name."""

from collections.abc import Iterator

from evidence.judge._identity import contradiction
from evidence.judge._scope import VEHICLE, fold
from evidence.judge.case import Case
from evidence.model.finding import Contradiction, Place
from evidence.model.names import ContradictionRule, Fact
from evidence.model.profile import ProfileScrews
from evidence.model.record import Screws


def differ_from_manual(case: Case) -> Iterator[Contradiction]:
    """Thread, property class, head or number of a group certainly differs; one contradiction for each."""
    for group in case.record.screws:
        for manual in case.profile.screws:
            if manual.group == group.group:
                yield from _kind(group, manual, case)
                yield from _count(group, manual, case)


def _kind(group: Screws, manual: ProfileScrews, case: Case) -> Iterator[Contradiction]:
    if not _threads_agree(group.thread, manual.thread):
        yield _differs(Fact.SCREWS_THREAD, group, group.thread, manual.thread, case)
    if _plain(group.property_class) != _plain(manual.property_class):
        yield _differs(Fact.SCREWS_CLASS, group, group.property_class, manual.property_class, case)
    if group.head is not None and manual.head is not None and group.head != manual.head:
        yield _differs(Fact.SCREWS_HEAD, group, group.head, manual.head, case)


def _count(group: Screws, manual: ProfileScrews, case: Case) -> Iterator[Contradiction]:
    like = [one for one in case.record.screws if (one.group, one.subject) == (group.group, group.subject)]
    total = sum(one.count for one in like)
    # recorded in parts, or done again, a group stands there more than once; on the vehicle it may be of all places
    alone = len(like) == 1 and (group.subject != VEHICLE or len(case.record.positions) == 1)
    if total < manual.count or (alone and group.count != manual.count):
        yield _differs(Fact.SCREWS_COUNT, group, str(group.count), str(manual.count), case)


def _plain(text: str) -> str:
    return "".join(fold(text).split()).replace(",", ".").replace("\u00d7", "x")


def _threads_agree(one: str, other: str) -> bool:
    """Whether two designations can mean one thread; where only one names a pitch or fit, they can."""
    short, long = sorted((_plain(one), _plain(other)), key=len)
    return long == short or long.startswith((short + "x", short + "-"))


def _differs(fact: Fact, group: Screws, recorded: str, manual: str, case: Case) -> Contradiction:
    field = fact.value.removeprefix("screws.").replace("-", "_")
    return contradiction(
        ContradictionRule.SCREWS_DIFFER_FROM_MANUAL,
        group.id,
        (
            Place(where=f"{case.profile.reference}.screws.{group.group}.{field}", value=manual),
            Place(where=f"{group.id}.{field}", value=recorded),
        ),
        subject=group.id,
        fact=fact.value,
        recorded=recorded,
        expected=manual,
    )
