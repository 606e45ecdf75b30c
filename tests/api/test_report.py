"""The cellar report and the walk over HTTP: who may read them, their shape, and the file for a spreadsheet."""

from __future__ import annotations

import csv
import io
from uuid import uuid4

import pytest
from django.utils import timezone

from staveward.api.csv import cell_safe
from staveward.api.serializers.report import ReportOutput
from staveward.api.serializers.walk import WalkOutput
from staveward.models import ForecastScore, Stay
from tests.api.cast import Cast
from tests.factories import BarrelFactory

FORBIDDEN = ("member", "sharer", "owner", "tablet", "sensor")


def table(cast: Cast, query: str = "") -> list[dict[str, str]]:
    answer = cast["keeper"].get(cast.url("report.csv") + query)
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text)))


@pytest.mark.parametrize("address", ["report", "report.csv"])
def test_the_report_is_the_keepers(cast: Cast, address: str) -> None:
    seen = {name: cast[name].get(cast.url(address)).status_code for name in (*FORBIDDEN, "keeper", "admin")}

    assert seen == {**dict.fromkeys(FORBIDDEN, 403), "keeper": 200, "admin": 200}


def test_the_report_has_the_shape_that_is_documented(cast: Cast) -> None:
    cast.fill()

    body = cast["keeper"].get(cast.url("report")).json()

    described = ReportOutput().fields
    assert set(body) == set(described)
    assert set(body["totals"]) == set(described["totals"].fields)
    assert set(body["barrels"][0]) == set(described["barrels"].child.fields)
    assert set(body["forecasts"]) == set(described["forecasts"].fields)


def test_the_report_says_how_honest_forecasts_were(cast: Cast) -> None:
    """One fill decanted inside its weeks and one outside; a fill pulled for its smell says nothing."""
    ledger = {"lead": 1, "low": 4.0, "mid": 6.0, "high": 8.0, "prior": 6.0}
    scored = {"mean": 6.0, "sd": 1.0, "liking": 6.5}
    for decanted_week, counts in ((7.0, True), (9.0, True), (30.0, False)):
        barrel = BarrelFactory(club=cast.club, place=cast.place)
        stay = Stay.objects.create(
            id=uuid4(), club=cast.club, barrel=barrel, kind="fill", started_at=timezone.now()
        )
        ForecastScore.objects.create(
            club=cast.club,
            stay=stay,
            made_at=timezone.now(),
            decanted_week=decanted_week,
            counts=counts,
            pull_week=[ledger],
            next_score=[scored],
        )

    said = cast["keeper"].get(cast.url("report")).json()["forecasts"]

    assert said["fills"] == 2
    # Wilson's interval of 1 of 2, E. B. Wilson, JASA 22, 1927: 0.0945 to 0.9055.
    assert said["pull_week"] == {"hits": 1, "n": 2, "low": 0.095, "high": 0.905, "verdict": "too_few"}
    assert (said["next_score"]["hits"], said["next_score"]["n"]) == (3, 3)
    assert cast["other_keeper"].get(cast.url("report")).status_code == 404


def test_the_walk_has_the_shape_that_is_documented(cast: Cast) -> None:
    cast.fill()

    body = cast["member"].get(cast.url("walk")).json()

    described = WalkOutput().fields
    assert set(body) == set(described)
    place = next(place for place in body["places"] if place["barrels"])
    assert set(place) == set(described["places"].child.fields)
    assert set(place["barrels"][0]) == set(described["places"].child.fields["barrels"].child.fields)


def test_it_is_filtered_by_state_and_place_and_put_in_order(cast: Cast) -> None:
    cast.fill()
    BarrelFactory(club=cast.club, place=cast.place, name="Aft")

    def names(query: str) -> list[str]:
        return [row["name"] for row in cast["keeper"].get(cast.url("report") + query).json()["barrels"]]

    everything = names("")
    assert "Aft" in everything
    assert names("?state=new&order=-name") == sorted(names("?state=new"), reverse=True)
    assert set(names("?state=filled")) | set(names("?state=new")) == set(everything)
    assert names(f"?place={cast.place.pk}") == everything
    assert names("?place=00000000-0000-7000-8000-000000000000") == []


@pytest.mark.parametrize("query", ["?state=full", "?place=x", "?order=price", "?order=--name"])
def test_a_question_it_cannot_answer_is_refused(cast: Cast, query: str) -> None:
    answer = cast["keeper"].get(cast.url("report") + query)

    assert answer.status_code == 400
    assert answer.json()["fields"][0]["allowed"]


def test_the_file_has_a_line_a_barrel_and_figures_as_numbers(cast: Cast) -> None:
    cast.fill()

    answer = cast["keeper"].get(cast.url("report.csv"))
    rows = table(cast)

    assert answer["Content-Type"] == "text/csv; charset=utf-8"
    assert answer["Content-Disposition"].startswith('attachment; filename="cellar-report-')
    assert answer.streaming
    filled = next(row for row in rows if row["state"] == "filled")
    assert float(filled["start_volume_l"]) > 0
    assert float(filled["whisky_fills_left_high"]) <= 5.0


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_no_cell_of_the_file_is_a_formula(cast: Cast, start: str) -> None:
    """The characters are those of OWASP, "CSV Injection"."""
    BarrelFactory(club=cast.club, place=cast.place, name=start + "1+1")

    names = [row["barrel"] for row in table(cast)]

    assert "'" + start + "1+1" in names
    assert cell_safe(-1.5) == -1.5
