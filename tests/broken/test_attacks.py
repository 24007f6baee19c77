"""Every attack gets its verdict, names its file, ends with exit code 4, and is seen by the recipe where promised."""

from pathlib import Path

import pytest

from evidence import bundle
from evidence.errors import ExitCode
from evidence.seal.report import ENGLISH
from evidence.seal.verdicts import BottomLine
from evidence.seal.verify import VerifyReport
from tests.broken.attacks import PLAIN, Attack
from tests.broken.signed_attacks import SIGNED
from tests.seal import factory, recipe

RECIPE = bundle.recipe(factory.SIGNER.public.pem).decode()
plain = pytest.mark.parametrize("attack", PLAIN, ids=lambda attack: attack.name)
signed = pytest.mark.parametrize("attack", SIGNED, ids=lambda attack: attack.name)
needs_tools = pytest.mark.skipif(bool(recipe.MISSING), reason=recipe.REASON)


def assert_named(report: VerifyReport, attack: Attack) -> None:
    found = [each for each in report.findings if each.code == attack.code and each.where == attack.where]
    assert found, [(each.code.value, each.where, dict(each.parameters)) for each in report.findings]
    sentences = [f"{ENGLISH.sentence(each)} {ENGLISH.hint(each)}" for each in found]
    assert any(attack.words in sentence for sentence in sentences), sentences
    assert all(
        attack.where in ENGLISH.sentence(each) for each in found if "{key}" not in _template(attack.code)
    )
    assert report.exit_code == ExitCode.NOT_VERIFIED


def _template(code: str) -> str:
    return ENGLISH.verdicts[code][0]


@plain
def test_attack_without_the_key_is_named(attack: Attack, copied: Path) -> None:
    attack.mutate(copied)
    assert_named(factory.ask(copied), attack)


@signed
def test_attack_with_the_key_is_named(attack: Attack, tmp_path: Path) -> None:
    attack.mutate(tmp_path)
    report = factory.ask(tmp_path)
    assert_named(report, attack)
    assert report.bottom_line == BottomLine.NOT_VERIFIED


@needs_tools
@pytest.mark.parametrize("attack", [each for each in PLAIN if each.recipe], ids=lambda attack: attack.name)
def test_recipe_sees_attack_without_the_key(attack: Attack, copied: Path) -> None:
    attack.mutate(copied)
    assert recipe.first_failure(copied, RECIPE, factory.SIGNER.public.id) is not None


@needs_tools
@pytest.mark.parametrize("attack", [each for each in SIGNED if each.recipe], ids=lambda attack: attack.name)
def test_recipe_sees_attack_with_the_key(attack: Attack, tmp_path: Path) -> None:
    attack.mutate(tmp_path)
    assert recipe.first_failure(tmp_path, RECIPE, factory.SIGNER.public.id) is not None


@needs_tools
def test_recipe_passes_a_good_bundle_as_typed(sealed: Path) -> None:
    text = (sealed / "VERIFY.txt").read_text()
    assert len(recipe.lines(text)) == 16
    assert recipe.first_failure(sealed, text, factory.SIGNER.public.id) is None


def test_names_of_attacks_are_unique() -> None:
    names = [attack.name for attack in (*PLAIN, *SIGNED)]
    assert sorted(set(names)) == sorted(names)


def test_a_symlinked_signature_is_not_taken_for_one(copied: Path) -> None:
    outside = copied.parent / "signature"
    (copied / "tagmanifest-sha256.txt.sig").rename(outside)
    (copied / "tagmanifest-sha256.txt.sig").symlink_to(outside)
    report = factory.ask(copied)
    assert not report.signed
    assert {"SYMLINK", "SIGNATURE_MISSING"} <= {code.value for code in report.codes}
