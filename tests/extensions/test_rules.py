"""Rules of packages of others are added and named; they never replace, soften or remove one of ours."""

import json
import os
import shutil
import subprocess
import sys
from datetime import date
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner
from mkdocs.config import load_config

import vandoc
from tests.extensions.conftest import write_package
from tests.extensions.rules import POINTS, rule_of
from vandoc.doors.cli import main
from vandoc.ground.errors import ExtensionError
from vandoc.ground.extensions import ignored, packages
from vandoc.judgement.checks import rules, run
from vandoc.judgement.remedy import findings
from vandoc.reading.archive import keep

ROOT = Path(__file__).parents[2]
VAN = ROOT / "sites/wren/van.yml"


@pytest.fixture(scope="module")
def plain() -> tuple[vandoc.Finding, ...]:
    """The findings of vandoc alone in a van that breaks a rule."""
    with ignored():
        return run(vandoc.read(VAN))


def test_the_command_names_the_package_and_can_ignore_it(tmp_path):
    """In processes of their own, as when the package is installed."""
    folder = write_package(tmp_path / "installed", "marsh-rules", "1.2", POINTS, rule_of())
    env = os.environ | {"PYTHONPATH": f"{ROOT}{os.pathsep}{folder}"}

    def check(*options: str) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-m", "vandoc", *options]
        return subprocess.run(command, capture_output=True, text=True, env=env, cwd=ROOT)

    found = check("check", "--format", "json", str(VAN))
    without = check("--no-plugins", "check", "--format", "json", str(VAN))
    assert (found.returncode, without.returncode) == (1, 0)
    (added,) = json.loads(found.stdout)["vans"]
    (ours,) = json.loads(without.stdout)["vans"]
    new = [finding for finding in added["findings"] if finding not in ours["findings"]]
    assert [(one["rule"], one["package"]) for one in new] == [("marsh-battery", "marsh-rules 1.2")]
    assert [one for one in added["findings"] if one not in new] == ours["findings"]
    assert {one["package"] for one in ours["findings"]} == {None}


def test_a_rule_of_a_package_is_added_and_named_in_the_terminal(install, plain):
    install("marsh-rules", "1.2", POINTS, rule_of())
    result = CliRunner().invoke(main, ["check", str(VAN)])
    assert result.exit_code == 1
    assert "[marsh-battery; marsh-rules 1.2; common practice, no source]" in result.output
    for option in (["--no-plugins", "check", str(VAN)], ["check", "--no-plugins", str(VAN)]):
        result = CliRunner().invoke(main, option)
        assert result.exit_code == 0
        assert "marsh" not in result.output
        assert all(f"{one}\n" in result.output for one in plain)
    assert [str(one) for one in packages()] == ["marsh-rules 1.2"]  # ignored by those commands alone


def test_pages_name_the_package(install, tmp_path):
    install("marsh-rules", "1.2", POINTS, rule_of())
    shutil.copytree(VAN.parents[1], tmp_path / "sites")
    file = tmp_path / "sites/wren/van.yml"
    keep(file, "first", date(2026, 5, 12))
    made = vandoc.manual_pages(vandoc.read(file))
    changes = unescape(made["electrician/changes.md"])
    assert "Packages of others in use: marsh-rules 1.2." in changes
    assert "rule added by marsh-rules 1.2" in made["electrician/findings.md"]
    assert "Packages of others added to this manual: marsh-rules 1.2." in unescape(
        made["electrician/rules.md"]
    )
    assert "<dt>Added by</dt><dd>marsh-rules 1.2</dd>" in made["electrician/rules.md"]
    with ignored():
        without = vandoc.manual_pages(vandoc.read(VAN))
    assert not [path for path, content in without.items() if "marsh" in str(content)]


REFUSED = {
    "our slug": (rule_of("no-isolator", "note"), "rule 'no-isolator' is declared in isolation and in marsh"),
    "our finding": (rule_of(yields="no-isolator"), "yields 'no-isolator', but declares"),
    "words for our rule": (
        rule_of(words="no-isolator: {title: Fine}\nmarsh-battery: {title: A}\n"),
        "but words for .*no-isolator",
    ),
    "no words": (rule_of(words=""), "words"),
    "words that ask for more": (rule_of() | {"marsh_rules/marsh.en.yml": rule_of()[
        "marsh_rules/marsh.en.yml"].replace("{battery}", "{frog}")}, "frog"),
    "an error": (rule_of(before="1 / 0"), "ZeroDivisionError"),
    "an end of the process": (rule_of(before="raise SystemExit(0)"), "SystemExit"),
    "a change of the van": (rule_of(before="van.stated = None"), "FrozenInstanceError"),
    "no rule": ({"marsh_rules/nothing.py": ""}, "there is no rule in marsh_rules"),
    "a module that is not there": ({"other/nothing.py": ""}, "No module named 'marsh_rules'"),
    "a faulty module": ({"marsh_rules/nothing.py": "import nowhere"}, "nowhere"),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_a_package_that_would_soften_or_is_faulty_is_refused_by_name(install, case):
    contents, reason = REFUSED[case]
    install("marsh-rules", "1.2", POINTS, contents)
    with pytest.raises(ExtensionError, match=rf"(?s)package marsh-rules 1\.2: .*{reason}.*--no-plugins"):
        run(vandoc.read(VAN))
    result = CliRunner().invoke(main, ["check", str(VAN)])
    assert result.exit_code == 2
    assert result.output.startswith("package marsh-rules 1.2: ")
    assert CliRunner().invoke(main, ["check", str(VAN), "--no-plugins"]).exit_code == 0


@pytest.mark.parametrize(
    "before",
    [
        "van.system.equipment.clear()",
        "van.stated.equipment.clear(); van.van_file.tree.value.clear()",
        "van.findings = (); van.once(lambda _: ())",
        "van.network.edges.clear() if hasattr(van.network, 'edges') else van.sizing.conductors.clear()",
    ],
)
def test_a_rule_that_changes_what_it_is_given_takes_nothing_from_our_findings(install, plain, before):
    guarded = f"try: {before}\n        except Exception: pass"
    install("marsh-rules", "1.2", POINTS, rule_of(before=guarded))
    van = vandoc.read(VAN)
    assert [one for one in findings(van) if one.package is None] == list(plain)
    assert van.system.equipment
    assert van.van_file.tree.value


def test_two_packages_with_the_same_rule_are_told_apart(install):
    install("marsh-rules", "1.2", POINTS, rule_of())
    again = {path.replace("marsh_rules", "pond_rules"): text for path, text in rule_of().items()}
    install("pond-rules", "3", {"vandoc.rules": "pond_rules"}, again)
    with pytest.raises(
        ExtensionError, match=r"package pond-rules 3: .*'marsh-battery' is declared in marsh-rules"
    ):
        rules()


@pytest.mark.parametrize(
    ("points", "reason"),
    [
        ({"vandoc.rule": "marsh_rules"}, "no group of entry points 'vandoc.rule'; there are vandoc.rules, "),
        ({"vandoc.rules": "marsh_rules:check"}, "must name a module, not 'marsh_rules:check'"),
    ],
)
def test_an_entry_point_that_would_never_be_used_is_told(install, points, reason):
    install("marsh-rules", "1.2", points, rule_of())
    with pytest.raises(ExtensionError, match=reason):
        packages()


def test_the_mkdocs_plugin_can_ignore_packages(install, tmp_path):
    install("marsh-rules", "1.2", POINTS, rule_of())
    (tmp_path / "docs").mkdir()
    option = {"system": str(VAN), "no_plugins": True}
    config = load_config(
        config_file_path=str(tmp_path / "mkdocs.yml"), site_name="x", docs_dir=str(tmp_path / "docs"),
        plugins=[{"vandoc": option}], theme="material", strict=True,
    )  # fmt: skip
    config.plugins["vandoc"].on_config(config)
    assert "marsh" not in str(config.plugins["vandoc"].pages.files["electrician/findings.md"])
