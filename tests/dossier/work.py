"""A finished vehicle with what a test needs of screws, cycles, demands and findings."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from pydantic import TypeAdapter

from evidence.dossier import Data, DossierInput, build
from evidence.model.criterion import Criterion
from evidence.model.names import Group
from evidence.model.profile import Profile
from evidence.phrases import say
from evidence.register.demand import Demand, Demands
from tests.dossier import builders, judged, records

_CRITERION: TypeAdapter[Criterion] = TypeAdapter(Criterion)
Asked = tuple[dict[str, Any], Data]
"""A criterion and the finding about it."""


def asked(
    name: str,
    subject: str,
    outcome: str,
    criterion: Mapping[str, Any],
    *,
    group: str = "profile",
    **more: Any,
) -> Asked:
    """A demand of section 9 of the manual, page 18, and what was found; ``more`` goes to the finding."""
    reason = more.pop("reason", ("counted-enough", {"at_least": "1", "found": "1"}))
    packs = {"profile": "profile.heron-2@C", "standard": "en-1789-2020@1", "practice": "practice@1"}
    pack = packs[group]
    found = judged.finding(
        f"{pack}/9/{name}",
        subject,
        outcome,
        reason,
        group=group,
        type=str(criterion["type"]),
        mark="confirmed",
        **more,
    )
    own = {
        "id": name,
        "subject": "position",
        "mark": "confirmed",
        "source": "manual",
        "page": "18",
        "closes": "fitter",
        "title": {"en": f"Title of {name}"},
        **criterion,
    }
    return own, found


def source(
    *demanded: Asked,
    profile: Mapping[str, Any] | None = None,
    contradictions: Sequence[Data] = (),
    **record: Any,
) -> DossierInput:
    """The finished vehicle; ``record`` replaces whole sections of its record."""
    given = records.finished_record() | record
    findings = [found for _, found in demanded]
    manifest = builders.manifest_for(given, findings, list(contradictions), builders.EUROPEAN_PACKS)
    demands = tuple(
        Demand(
            requirement=found["requirement"],
            source=found["requirement"].split("/")[0],
            clause=found["clause"],
            criterion=_CRITERION.validate_python(_tuples(own), strict=False),
            group=Group(found["group"]),
            applies={},
            title={"en": "Section"},
        )
        for own, found in demanded
    )
    made = builders.source_from(given, manifest)
    read = Profile.read({**records.PROFILE, **(profile or {})})
    return replace(made, profile=read, demands=Demands(demands, ()))


def _tuples(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _tuples(one) for key, one in value.items()}
    return tuple(_tuples(one) for one in value) if isinstance(value, list) else value


def built(made: DossierInput) -> Data:
    """The dossier with the sentences that readers get."""
    return build(made, say)
