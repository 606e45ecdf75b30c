"""Blind flights over HTTP: the way from the codes to the names, lists in pages, bad input told field by field."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest

from tests.api.cast import Cast, problem, uuid7
from tests.api.pouring import blind_body, flight_body
from tests.factories import BarrelFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def cast() -> Cast:
    return Cast()


def flight_of_four(cast: Cast, **changes: Any) -> dict[str, Any]:
    fills = [cast.fill()]
    for name in ("Ebb", "Flood", "Slack"):
        barrel = BarrelFactory(club=cast.club, place=cast.place, name=name)
        fills.append(cast.done("fills", cast.fill_body(barrel=str(barrel.pk))))
    return {**flight_body(cast, fills, "sharer", "other_sharer"), **changes}


def codes(row: dict[str, Any], person: str) -> list[str]:
    found: list[str] = next(line["codes"] for line in row["tasters"] if line["person"] == person)
    return found


def test_the_way_from_codes_to_names(cast: Cast) -> None:
    address, body = cast.url("flights", uuid7()), flight_of_four(cast)
    begun = cast["keeper"].put(address, body)
    assert begun.status_code == 201, begun.content
    flight = begun.json()
    assert len(flight["key"]) == 5
    again = cast["keeper"].put(address, body)
    assert (again.status_code, again.json()["key"]) == (200, flight["key"])

    for name in ("sharer", "other_sharer"):
        row = cast[name].get(address).json()
        assert row["key"] is None
        for code in codes(row, cast.id(name)):
            sent = cast[name].put(
                cast.url("blind-tastings", uuid7()), blind_body(cast, flight["id"], code, oak=1)
            )
            assert sent.status_code == 201, sent.content
            answer = sent.json()
            assert answer["collection"] == "blind-tastings"
    assert answer["flight"]["opened_by"] == "finished"
    assert len(answer["flight"]["scores"]) == 8
    log = cast["member"].get(cast.url("barrels", cast.barrel.pk, "log")).json()["results"]
    blind = [line for line in log if line["collection"] == "tastings"]
    assert {line["body"]["flight"] for line in blind} == {flight["id"]}


def test_a_score_of_a_code_is_no_entry_of_any_log(cast: Cast) -> None:
    flight = cast["keeper"].put(cast.url("flights", uuid7()), flight_of_four(cast)).json()
    code = flight["key"][0]["code"]
    act_id = cast.done("blind-tastings", blind_body(cast, flight["id"], code), by="sharer")

    feed = cast["other_sharer"].get(cast.url("changes")).json()["rows"]
    lines = [line for line in feed if line["id"] in (act_id, flight["id"]) and line["collection"] == "log"]
    assert all(line["row"] is None for line in lines)
    # There is nothing to read it by: what one gave stands in one's own row of the flight.
    assert cast["sharer"].get(cast.url("blind-tastings", act_id)).status_code == 405
    assert cast["sharer"].get(cast.url("flights", flight["id"])).json()["mine"][0]["act"] == act_id


def test_flights_come_in_pages(cast: Cast) -> None:
    body = flight_of_four(cast)
    made = [cast.done("flights", {**body, **cast.entry(day)}) for day in (3, 2, 1)]

    page = cast["sharer"].get(cast.url("flights") + "?limit=2").json()
    assert [row["id"] for row in page["results"]] == [made[2], made[1]]
    assert cast["member"].get(cast.url("flights")).json()["results"] == []


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("fills", []),
        ("fills", "all"),
        ("fills", ["x"]),
        ("tasters", []),
        ("tasters", None),
        ("sample_ml", 0),
        ("sample_ml", 51),
        ("sample_ml", "a sip"),
        ("is_without_duplicate", "no"),
        ("codes", ["123"]),
        ("glasses", []),
        ("glasses", "417"),
        ("glasses", ["417", "418"]),
        ("glasses", [{"code": 417, "fill": "x"}] * 2),
        ("glasses", [{"code": "4170", "fill": str(uuid7())}] * 2),
        ("glasses", [{"code": "417", "fill": str(uuid7()), "barrel": "x"}] * 2),
        ("glasses", [{"code": "417", "fill": str(uuid7())}, {"code": "418", "fill": str(uuid7())}]),
    ],
)
def test_what_cannot_be_a_flight_is_told_by_its_field(cast: Cast, field: str, value: Any) -> None:
    answer = cast["keeper"].put(cast.url("flights", uuid7()), flight_of_four(cast, **{field: value}))
    assert answer.status_code in (400, 422)
    assert problem(answer)["fields"][0]["field"].split(".")[0].split("[")[0] == field


@pytest.mark.parametrize(
    ("field", "value"),
    [("code", "1234"), ("code", 123), ("code", "099"), ("flight", "x"), ("liking", 10.5), ("barrel", "x")],
)
def test_what_cannot_be_a_blind_score_is_told_by_its_field(cast: Cast, field: str, value: Any) -> None:
    flight = cast["keeper"].put(cast.url("flights", uuid7()), flight_of_four(cast)).json()
    body = {**blind_body(cast, flight["id"], flight["key"][0]["code"]), field: value}
    answer = cast["sharer"].put(cast.url("blind-tastings", uuid7()), body)
    assert answer.status_code in (400, 422)
    assert problem(answer)["fields"][0]["field"] == field


def test_a_flight_of_others_and_one_that_is_none(cast: Cast) -> None:
    flight = cast.done("flights", flight_of_four(cast))
    assert cast["member"].get(cast.url("flights", flight)).status_code == 403
    assert cast["member"].get(cast.url("flights", uuid7())).status_code == 404


def test_codes_of_the_phone_are_named_with_what_is_allowed(cast: Cast) -> None:
    body = flight_of_four(cast)
    glasses = [{"code": "417", "fill": fill} for fill in body["fills"]]
    answer = cast["keeper"].put(cast.url("flights", uuid7()), {**body, "glasses": glasses})
    assert answer.status_code == 422
    field = problem(answer)["fields"][0]
    assert (field["field"], field["value"], field["allowed"]) == ("glasses", "417", "each code once")


def test_a_score_without_its_flight_waits_and_is_found(cast: Cast) -> None:
    body = flight_of_four(cast)
    one, two, three, four = body["fills"]
    line = zip(("417", "835", "269", "594", "128"), (one, two, three, one, four), strict=True)
    body["glasses"] = [{"code": code, "fill": fill} for code, fill in line]
    today = datetime.now(UTC).date().isoformat()
    score = cast.entry(code="835", liking=6.5, tasted_on=today)
    waiting = uuid7()

    told = cast["sharer"].put(cast.url("blind-tastings", waiting), score)
    assert told.status_code == 201, told.content
    assert (told.json()["placement"], told.json()["flight"]) == ("set_aside", None)
    assert len(cast["keeper"].get(cast.url("tray")).json()["entries"]) == 1

    flight = cast.done("flights", body)
    mine = cast["sharer"].get(cast.url("flights", flight)).json()["mine"]
    assert [(line["act"], line["liking"]) for line in mine] == [(waiting, 6.5)]
    assert cast["keeper"].get(cast.url("tray")).json()["entries"] == []
    again = cast["sharer"].put(cast.url("blind-tastings", waiting), score)
    assert (again.status_code, again.json()["placement"]) == (200, "placed")
    assert again.json()["flight"]["id"] == flight


@pytest.mark.parametrize(
    ("field", "value"),
    [("reason", ""), ("reason", None), ("reason", "x" * 501), ("is_poured", "yes"), ("flight", None)],
)
def test_what_cannot_call_a_flight_off_is_told_by_its_field(cast: Cast, field: str, value: Any) -> None:
    flight = cast.done("flights", flight_of_four(cast))
    body = cast.entry(**{"flight": flight, "reason": "spilt", "is_poured": True, field: value})
    answer = cast["keeper"].put(cast.url("flight-cancellations", uuid7()), body)
    assert answer.status_code in (400, 422)
    assert problem(answer)["fields"][0]["field"] == field


def test_called_off_and_told_shut_one_another_out(cast: Cast) -> None:
    flight = cast.done("flights", flight_of_four(cast))
    ends = {
        "flight-cancellations": cast.entry(flight=flight, reason="spilt", is_poured=True),
        "flight-closings": cast.entry(flight=flight),
    }
    off = cast["keeper"].put(cast.url("flight-cancellations", uuid7()), ends["flight-cancellations"])
    assert off.json()["flight"]["called_off_reason"] == "spilt"
    closing = cast["keeper"].put(cast.url("flight-closings", uuid7()), ends["flight-closings"])
    assert (closing.status_code, problem(closing)["code"]) == (409, "called_off")
    assert problem(closing)["fields"][0]["field"] == "flight"
    report = cast["keeper"].get(cast.url("barrels", cast.barrel.pk)).json()
    assert report["contents"]["sample_used_ml"] >= 20


@pytest.mark.parametrize(("field", "value"), [("sample_ml", 0), ("sample_ml", 2001), ("fill", "x")])
def test_what_cannot_be_a_sample_is_told_by_its_field(cast: Cast, field: str, value: Any) -> None:
    body = cast.entry(**{"barrel": str(cast.barrel.pk), "fill": cast.fill(), "sample_ml": 20, field: value})
    answer = cast["keeper"].put(cast.url("samples", uuid7()), body)
    assert answer.status_code in (400, 422)
    assert problem(answer)["fields"][0]["field"] == field
