"""`manage.py calc`: JSON out, and every refusal a sentence in JSON with exit status 2."""

from __future__ import annotations

import copy
import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from surveys.core import judging
from surveys.management.commands import calc
from tests.stories import STORIES

ROOT = Path(__file__).resolve().parents[3]
STORY = STORIES["plain-pass"]["input"]


def run(monkeypatch, capsys, *arguments, given="") -> tuple[int, dict]:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(given.encode("utf-8", "surrogatepass"))))
    status = 0
    try:
        calc.Command().run_from_argv(["manage.py", "calc", *arguments])
    except SystemExit as ended:
        status = ended.code
    out, err = capsys.readouterr()
    assert err == ""
    return status, json.loads(out)


def changed(path, value):
    given = copy.deepcopy(STORY)
    *way, last = path.split(".")
    place = given
    for step in way:
        place = place[int(step)] if step.isdigit() else place[step]
    place[int(last) if last.isdigit() else last] = value
    return json.dumps(given)


REFUSED = [  # arguments, input, part of the sentence, why
    ((), "", "The command was not understood", "nothing asked: argparse's own error"),
    (("colour",), "", "invalid choice: 'colour'", "an unknown question"),
    (("survey", "a", "b"), "", "unrecognized arguments: b", "two files"),
    (("survey", "--colour"), "", "unrecognized arguments: --colour", "an unknown option"),
    (("survey", "/no/such/file"), "", "cannot be read", "no such file"),
    (("survey",), "", "This is not JSON", "nothing given"),
    (("survey",), "{", "This is not JSON", "half a document"),
    (("survey",), "[]", "Here stands a list", "no group of keys"),
    (("survey",), '{"survey": {}, "survey": {}}', "“survey” stands twice", "a duplicate key"),
    (("survey",), '{"survey": {}}', "“criteria” is missing", "no criteria"),
    (("survey",), '{"survey": 1.5}', "Numbers are written as text", "a float"),
    (("survey",), '{"survey": NaN}', "Numbers are written as text", "NaN"),
    (("survey",), "\ud800", "This is not JSON", "not UTF-8"),
    (("survey",), changed("survey.colour", "red"), "“colour” is not known here", "an unknown key"),
    (("survey",), changed("survey.traverses.0.readings.0.0", "1,5"), "survey.traverses.0.readings.0.0: “1,5” has a comma",
     "a bad number is never judged"),
    (("survey",), changed("survey.hood.sash", "sliding"), "“sliding” is not one of", "an unknown sash"),
    (("survey",), changed("criteria.limits.0.at_least", "200 ft/min"), "above at most", "an impossible limit"),
    (("survey",), changed("criteria.limits.0.figure", "niceness"), "“niceness” is not one of", "an unknown figure"),
    (("grid",), '{"width": "0 in", "height": "18 in", "grid": {"largest_area": "1 ft**2", "longest_edge": "13 in"}}',
     "No grid can be planned", "no width"),
    (("grid",), '{"width": "62", "height": "18 in", "grid": {"largest_area": "1 ft**2", "longest_edge": "13 in"}}',
     "has no unit", "no unit"),
    (("due",), '{"done_on": "12 MAR 2026", "due": {"months": "12"}}', "is not a day", "another way to write a day"),
    (("due",), '{"done_on": "2026-03-12", "due": {"months": "0"}}', "outside 1 to 60", "no interval"),
    (("due",), '{"done_on": null, "due": {"months": "12"}}', "is not a day", "no day"),
]  # fmt: skip


@pytest.mark.parametrize(("arguments", "given", "said", "why"), REFUSED, ids=[f"{r[0]} {r[3]}" for r in REFUSED])
def test_a_refusal_is_a_sentence_in_json_with_exit_status_2(monkeypatch, capsys, arguments, given, said, why):
    status, answer = run(monkeypatch, capsys, *arguments, given=given)
    assert (status, list(answer)) == (2, ["error"]), why
    assert said in answer["error"]
    assert "%(" not in answer["error"]


def test_the_control_the_unchanged_story_is_judged(monkeypatch, capsys):
    status, answer = run(monkeypatch, capsys, "survey", given=json.dumps(STORY))
    assert (status, answer["verdict"]) == (0, "pass")
    assert answer["reasons"][0]["sentence"] == "All that the criteria ask was tested and met."


def test_an_exception_while_judging_gives_an_error_and_no_verdict(monkeypatch, capsys):
    given = copy.deepcopy(STORY)
    document, facts = calc.parse_merged(given["survey"])
    object.__setattr__(document.traverses[0], "readings", ((None,),))  # damaged beyond what parsing lets through
    monkeypatch.setattr(calc, "parse_merged", lambda _: (document, facts))
    status, answer = run(monkeypatch, capsys, "survey", given=json.dumps(given))
    assert status == 2
    assert "could not be computed" in answer["error"]
    assert judging.could_not_be_judged().verdict == "no-verdict"


def test_the_grid_of_an_opening(monkeypatch, capsys):
    given = {"width": "62 in", "height": "18 in", "grid": {"largest_area": "1 ft**2", "longest_edge": "13 in"}}
    status, answer = run(monkeypatch, capsys, "grid", given=json.dumps(given))
    assert status == 0
    assert (answer["columns"], answer["rows"]) == ("5", "2")
    assert answer["cell_width"] == {"value": "12.4", "unit": "in", "exact": "62/5"}


def test_the_day_a_hood_is_due(monkeypatch, capsys):
    due = {"months": "12", "anchor": "month-end", "grace_days": "14", "use_ends_days": "30"}
    status, answer = run(monkeypatch, capsys, "due", given=json.dumps({"done_on": "2025-03-10", "due": due}))
    assert (status, answer) == (
        0,
        {
            "due_on": "2026-03-31",
            "overdue_from": "2026-04-01",
            "grace_until": "2026-04-14",
            "use_ends_on": "2026-04-30",
        },
    )


def test_the_list_of_figures(monkeypatch, capsys):
    status, answer = run(monkeypatch, capsys, "figures")
    assert status == 0
    assert answer[0]["code"] == "average"


def test_from_a_bare_environment_errors_are_json_too(tmp_path):
    ended = subprocess.run(
        [sys.executable, str(ROOT / "manage.py"), "calc", "survey", "--colour"],
        env={"PATH": os.environ.get("PATH", "")},
        cwd=tmp_path,
        capture_output=True,
        timeout=120,
        check=False,
    )
    assert (ended.returncode, ended.stderr) == (2, b"")
    assert list(json.loads(ended.stdout)) == ["error"]
