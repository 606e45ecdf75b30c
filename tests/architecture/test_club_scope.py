"""Nothing a request names is found in another club."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.apps import apps

from staveward.models.base import ClubRow
from tests.architecture.club_scope import suspects
from tests.architecture.house import ROOT

CLUB_MODELS = {model.__name__ for model in apps.get_models() if issubclass(model, ClubRow)}

# Look-ups by key alone that are meant, and why. Each must still be there.
MEANT = {
    (
        "services/acts.py",
        "act_replay",
    ): "an id is unique over all clubs; a foreign one is answered as id_reused",
    ("services/measures.py", "barrel_measures_lay"): "the barrel of the act being placed, under its lock",
    ("services/vessels.py", "_lay"): "vessels of the barrel just laid, or of the draws just written",
    ("services/moves.py", "barrel_place_lay"): "the barrel of the act being placed, under its lock",
    ("services/rebuild.py", "place"): "the barrels of the act being placed, under their locks",
    (
        "services/forecasts.py",
        "_clubs_of",
    ): "which clubs the stays just laid, or due for a forecast, belong to",
    (
        "selectors/pull_forecasts.py",
        "pull_cases",
    ): "fills whose best weeks are due, over all clubs, for the clock",
    ("selectors/log.py", "log_of_keys"): "keys of the club's own feed; the club is compared row by row",
    ("selectors/courses.py", "course_list"): "stays whose forecasts are due, over all clubs, for the clock",
}


def test_every_lookup_by_key_goes_through_for_club_or_is_meant():
    found = suspects(ROOT / "backend" / "staveward", CLUB_MODELS)

    assert [str(one) for one in found if (one.path, one.function) not in MEANT] == []
    assert set(MEANT) - {(one.path, one.function) for one in found} == set(), (
        "no longer there: take it off the list"
    )


def test_the_models_of_a_club_are_known():
    assert {"Barrel", "Person", "Place", "Act", "Stay", "Reservation"} <= CLUB_MODELS


BAD = {
    "a key from the body": 'def f(data):\n    return Barrel.objects.get(pk=data["barrel"])',
    "a key from the address": "def f(barrel_id):\n    return Barrel.objects.filter(id=barrel_id).first()",
    "keys from the body": "def f(ids):\n    return Person.objects.filter(pk__in=ids)",
    "in bulk": "def f(ids):\n    return Person.objects.in_bulk(ids)",
    "by the shortcut": "def f(pk):\n    return get_object_or_404(Barrel, pk=pk)",
    "after a join": 'def f(pk):\n    return Barrel.objects.select_related("place").get(pk=pk)',
}


@pytest.mark.parametrize("code", BAD.values(), ids=BAD)
def test_the_checker_catches(tmp_path: Path, code: str):
    (tmp_path / "services").mkdir()
    (tmp_path / "services" / "fills.py").write_text(code)

    assert [one.function for one in suspects(tmp_path, {"Barrel", "Person"})] == ["f"]


GOOD = {
    "within the club": "def f(club, pk):\n    return Barrel.objects.for_club(club).get(pk=pk)",
    "the shortcut in the club": "def f(club, pk):\n    return get_object_or_404(Barrel.objects.for_club(club), pk=pk)",
    "a row already at hand": "def f(act):\n    return Barrel.objects.get(pk=act.barrel_id)",
    "no club's row": "def f(pk):\n    return Club.objects.get(pk=pk)",
}


@pytest.mark.parametrize("code", GOOD.values(), ids=GOOD)
def test_the_checker_lets_pass(tmp_path: Path, code: str):
    (tmp_path / "services").mkdir()
    (tmp_path / "services" / "fills.py").write_text(code)

    assert suspects(tmp_path, {"Barrel", "Person"}) == []
