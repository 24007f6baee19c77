"""What steps yield: known words, each from one step, unless the steps belong to different screw groups."""

import pytest

from evidence.record.profile_meaning import check_profile
from tests.record import support

STEPS = "    yields: [torque, witness-marks]\n    page: 13\n"
GROUPS = "    head: countersunk\n    count: 8\n    page: 12\n"
WALL = "  - {group: wall-plate, thread: M6, property_class: 8.8, count: 4, page: 12}\n"


@pytest.mark.parametrize(
    ("screws", "codes"),
    [
        ("screws: wall-plate, ", []),
        ("screws: floor-plate, ", ["yields-twice"]),
        ("", ["yields-twice"]),
    ],
)
def test_torques_come_from_one_step_for_each_screw_group(screws: str, codes: list[str]) -> None:
    second = f"  - {{id: again, title: {{en: Again}}, {screws}yields: [torque], page: 14}}\n"
    text, _ = support.changed(support.base("profile.yaml"), STEPS, STEPS + second)
    text, _ = support.changed(text, GROUPS, GROUPS + WALL)

    assert [problem.code for problem in check_profile(support.profile(text))] == codes


def test_a_name_of_a_value_a_photo_and_cycles_may_all_be_yielded() -> None:
    wide = STEPS.replace("witness-marks", "hook-position, charging, cycle-log")
    text, _ = support.changed(support.base("profile.yaml"), STEPS, wide)

    assert check_profile(support.profile(text)) == ()
