"""Every story through the core and through `manage.py calc survey`: verdict, sets, figures, label, restriction, title."""

from __future__ import annotations

import copy
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from surveys.core.adoption import why_not_adopt
from surveys.core.criteria import Criteria
from surveys.core.document import check, parse, parse_merged
from surveys.core.judging import judge
from surveys.core.verdict import highest_approved
from surveys.management.commands.calc import Command
from surveys.wording import title
from tests.stories import STORIES, differences

ROOT = Path(__file__).resolve().parents[2]
EACH = pytest.mark.parametrize("story", STORIES.values(), ids=STORIES)


def judged(story):
    document, facts = parse_merged(story["input"]["survey"])
    return judge(document, facts, Criteria.from_dict(story["input"]["criteria"]))


def expected(story):
    return {key: value for key, value in story["expected"].items() if key != "printed"}


def test_all_fifty_are_here():
    assert len(STORIES) == 50


@EACH
def test_the_core_judges_the_story_as_it_was_worked_by_hand(story):
    assert differences(expected(story), judged(story).as_dict()) == []


@EACH
def test_calc_judges_the_story_as_it_was_worked_by_hand(story, tmp_path, capsys):
    file = tmp_path / "story.json"
    file.write_text(json.dumps(story["input"]), "utf-8")
    Command().run_from_argv(["manage.py", "calc", "survey", str(file)])
    answer = json.loads(capsys.readouterr().out)
    assert differences(expected(story), answer) == []
    assert answer["reasons"]
    assert all(reason["sentence"] and "%(" not in reason["sentence"] for reason in answer["reasons"])


@EACH
def test_the_title_and_the_sash_are_printed_as_in_the_story(story):
    found, printed = judged(story), story["expected"]["printed"]
    assert title(found.verdict, found.restriction) == printed["title"]
    if found.verdict in ("pass", "restrict"):  # otherwise the sash is that of an earlier label
        assert highest_approved(found) == printed["sash"]
    else:
        assert highest_approved(found) is None


@EACH
def test_the_story_s_document_and_criteria_are_well_formed_and_the_document_round_trips(story):
    document, facts = parse_merged(story["input"]["survey"])
    assert check(document, facts) == ()
    assert why_not_adopt(Criteria.from_dict(story["input"]["criteria"])) == ()
    assert parse(document.as_dict()) == document
    assert parse(json.dumps(document.as_dict())).as_dict() == document.as_dict()


@EACH
def test_the_comparison_would_see_another_verdict(story):
    """The control: each verdict changed in what was worked out is found."""
    changed = copy.deepcopy(expected(story))
    changed["verdict"] = "fail" if changed["verdict"] != "fail" else "pass"
    assert differences(changed, judged(story).as_dict())


def test_calc_runs_in_a_bare_environment_from_standard_input(tmp_path):
    story = STORIES["restricted-to-a-lower-height"]
    answer = subprocess.run(
        [sys.executable, str(ROOT / "manage.py"), "calc", "survey"],
        input=json.dumps(story["input"]).encode(),
        env={"PATH": os.environ.get("PATH", "")},
        cwd=tmp_path,
        capture_output=True,
        check=True,
        timeout=120,
    )
    assert differences(expected(story), json.loads(answer.stdout)) == []
    assert list(tmp_path.iterdir()) == []
