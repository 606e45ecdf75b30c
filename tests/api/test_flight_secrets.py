"""What a blind flight keeps to its pourer: whatever stands behind the codes, everybody else gets the same answers.

The same evening is lived twice, with the same people, keys, codes and scores, but with other barrels behind the codes
and another one poured twice. Whoever could tell the two apart by anything the API says could tell the barrels.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

import pytest
from django.db import transaction

from tests.api import test_permissions as table
from tests.api.cast import Caller, uuid7
from tests.api.pouring import blind_body, flight_body
from tests.factories import BarrelFactory

pytestmark = pytest.mark.django_db
# The permission table's own club, with an entry of every kind in it.
scene = table.scene

READERS = (
    "member",
    "sharer",
    "other_sharer",
    "owner",
    "admin",
    "tablet",
    "sensor",
    "nobody",
    "stranger",
    "other_keeper",
)
# Who is told the names at the end, and so must hear the difference.
TOLD = ("sharer", "other_sharer", "admin", "member")
CODES = ("417", "835", "269", "594", "128")
# Which of the four fills stands behind each code.
KEYS = ((0, 1, 2, 0, 3), (2, 3, 1, 2, 0))
INSTANT = re.compile(r"\d{4}-\d\d-\d\dT[\d:.]+(?:Z|[+-]\d\d:\d\d)")
WITHOUT_ENTRIES = (*table.READS,)
EVERYTHING = (*WITHOUT_ENTRIES, *table.ENTRY_READS)
ID = {what: uuid7() for what in ("flight", "unread", *CODES)}


class Evening:
    """Four fills of different strengths, the tablet's and everybody's eyes upon them."""

    def __init__(self, scene: table.Scene) -> None:
        self.scene = scene
        self.barrels = [
            BarrelFactory(club=scene.club, place=scene.place, name=name)
            for name in ("Ebb Two", "Flood", "Slack", "Springs")
        ]
        self.fills = [
            scene.done(
                "fills",
                scene.fill_body(
                    20,
                    barrel=str(barrel.pk),
                    parts=[{"name": "rye", "volume_l": 4.5, "abv_pct": 40 + 5 * number}],
                ),
            )
            for number, barrel in enumerate(self.barrels)
        ]

    def lived(self, key: tuple[int, ...], *, listens: bool = True) -> Iterator[tuple[str, dict[Any, Any]]]:
        """Yields what everybody is told, step by step."""
        scene = self.scene
        glasses = [
            {"code": code, "fill": self.fills[number]} for code, number in zip(CODES, key, strict=True)
        ]
        body = {**flight_body(scene, self.fills, "sharer", "other_sharer"), "glasses": glasses}
        early = {**blind_body(scene, scene.flight, "417", liking=3.5)}
        early.pop("flight")
        told = scene["sharer"].put(scene.url("blind-tastings", ID["unread"]), early)
        yield "before it arrives", {"answer": words(told)}
        assert scene["keeper"].put(scene.url("flights", ID["flight"]), body).status_code == 201
        # What was written before the flight was poured is asked for once, when most is known of it.
        yield "on the table", self.heard(WITHOUT_ENTRIES) if listens else {}
        for code in CODES[1:]:
            sent = blind_body(scene, ID["flight"], code, liking=float(code[0]))
            told = scene["sharer"].put(scene.url("blind-tastings", ID[code]), sent)
            assert told.status_code == 201, told.content
            yield f"{code} scored", {"answer": words(told)}
        yield "one has finished", self.heard() if listens else {}

    def heard(
        self, rows: Sequence[table.Row] = EVERYTHING, readers: Sequence[str] = READERS
    ) -> dict[Any, Any]:
        """Returns what these people are answered, everybody but the pourer unless said, wherever they ask."""
        scene = self.scene
        addresses = {row.path(scene) for row in rows if row.method == "GET"}
        addresses |= {
            scene.url("flights", ID["flight"]),
            scene.url("flights"),
            scene.url("blind-tastings", ID["unread"]),
            scene.url("tray"),
            scene.url("changes"),
            *(scene.url("barrels", barrel.pk) for barrel in self.barrels),
            *(scene.url("barrels", barrel.pk, "log") for barrel in self.barrels),
        }
        return {
            (who, address): words(scene[who].get(address)) for who in readers for address in sorted(addresses)
        }


def words(answer: Any) -> tuple[int, str]:
    return answer.status_code, INSTANT.sub("when", answer.getvalue().decode())


def test_nobody_but_the_pourer_can_tell_one_key_from_another(scene: table.Scene) -> None:
    with transaction.atomic():
        evening = Evening(scene)
        lives = []
        for key in KEYS:
            with transaction.atomic():
                told = dict(evening.lived(key))
                pourers = words(scene["keeper"].get(scene.url("flights", ID["flight"])))
                closing = scene.entry(flight=ID["flight"])
                scene.done("flight-closings", closing)
                # The flight's own page, and its barrels', must differ now.
                lives.append((told, pourers, evening.heard((), TOLD)))
                transaction.set_rollback(True)
        transaction.set_rollback(True)

    (first, keys, names), (second, other_keys, other_names) = lives
    assert first.keys() == second.keys()
    for step, answers in first.items():
        differ = [where for where, answer in answers.items() if second[step][where] != answer]
        assert differ == [], step
    # The two evenings do differ, for the pourer at once and for all who taste at the end.
    assert keys != other_keys
    assert {who for (who, _), answer in names.items() if other_names[who, _] != answer} == set(TOLD)


def test_what_a_taster_is_told_of_themselves_is_in_nobody_elses_answers(scene: table.Scene) -> None:
    def own(caller: Caller) -> Any:
        return caller.get(scene.url("flights", ID["flight"])).json()["own"]

    with transaction.atomic():
        evening = Evening(scene)
        list(evening.lived(KEYS[0], listens=False))
        assert own(scene["sharer"]) is None
        scene.done("flight-closings", scene.entry(flight=ID["flight"]))
        mine = own(scene["sharer"])
        others = {who: own(scene[who]) for who in ("other_sharer", "keeper", "admin")}
        transaction.set_rollback(True)

    assert mine == {"pairs": 1, "sd": None, "shared_glasses": 0, "offset": None}
    assert others == {"other_sharer": {**mine, "pairs": 0}, "keeper": None, "admin": None}
