"""One entry of every collection, in a barrel of its own."""

from __future__ import annotations

from typing import Any

from staveward.models import Bottle
from tests.api.cast import Cast, photo_file, uuid7
from tests.factories import BarrelFactory


def blend(scene: Cast, vessel: str) -> dict[str, Any]:
    """A half litre of a vessel, let down with a little water."""
    return scene.entry(name="let down", water_l=0.1, parts=[{"vessel": vessel, "volume_l": 0.5}])


def everything(scene: Cast) -> dict[str, str]:
    """Lays one entry of each collection into a second barrel; returns their keys, to be read back."""
    barrel = BarrelFactory(club=scene.club, place=scene.place, name="Ebb")
    named = {"barrel": str(barrel.pk)}
    sent: dict[str, str] = {}
    sent["curings"] = scene.done("curings", scene.entry(29, water_l=4.5, **named))
    sent["curing-verdicts"] = scene.done("curing-verdicts", scene.entry(28, verdict="tight", **named))
    sent["fills"] = scene.done("fills", scene.fill_body(20, **named))
    sent["tastings"] = scene.done("tastings", scene.tasting_body(sent["fills"], 12, **named), by="sharer")
    sent["samples"] = scene.done("samples", scene.entry(12, fill=sent["fills"], sample_ml=20, **named))
    sent["tendings"] = scene.done("tendings", scene.entry(12, tasks=["roll"], **named))
    sent["readings"] = scene.done("readings", scene.entry(12, kind="weight", mass_kg=9, **named))
    sent["decants"] = scene.done("decants", scene.entry(6, measured_volume_l=4, **named))
    from_glass: dict[str, Any] = {"vessel": sent["decants"]}
    voted = {"fill": sent["fills"], **named}
    sent["pull-votes"] = scene.done("pull-votes", scene.entry(8, choice="pull", **voted), by="sharer")
    sent["pulls"] = scene.done("pulls", scene.entry(7, **voted))
    sent["blends"] = scene.done("blends", blend(scene, sent["decants"]))
    sent["discards"] = scene.done("discards", scene.entry(5, volume_l=0.1, reason="cloudy", **from_glass))
    bottles = [{"size_ml": 500, "fill_ml": 500, "count": 4}]
    sent["bottlings"] = scene.done("bottlings", scene.entry(5, bottles=bottles, **from_glass))
    bottle = Bottle.objects.filter(holder=scene.people["sharer"]).order_by("number")[0]
    changed = scene.entry(5, bottle=str(bottle.pk), change="opened")
    sent["bottle-changes"] = scene.done("bottle-changes", changed)
    sent["holds"] = scene.done("holds", scene.entry(5, water_l=2.5, **named))
    sent["drainings"] = scene.done("drainings", scene.entry(4, **named))
    sent["moves"] = scene.done("moves", scene.entry(4, place=str(scene.place.pk), **named))
    sent["ownerships"] = scene.done("ownerships", scene.entry(4, shares=[], **named))
    sent["repairs"] = scene.done("repairs", scene.entry(4, kind="retoast", **named))
    sent["loans"] = scene.done("loans", scene.entry(4, borrower="next door", **named))
    sent["loan-returns"] = scene.done("loan-returns", scene.entry(4, **named))
    sent["tag-issues"] = scene.done("tag-issues", scene.entry(4, **named))
    sent["troubles"] = scene.done("troubles", scene.entry(4, kind="damaged", **named))
    sent["trouble-settlements"] = scene.done(
        "trouble-settlements", scene.entry(3, trouble=sent["troubles"], outcome="mended", **named)
    )
    sent["retirements"] = scene.done("retirements", scene.entry(2, reason="worn staves", **named))
    late = scene.done("curings", scene.entry(1, water_l=2, **named))
    sent["tray-decisions"] = scene.done("tray-decisions", scene.entry(act=late, decision="leave"))
    sent["voids"] = scene.done("voids", scene.entry(act=late, reason="never happened"))
    photo = uuid7()
    scene["keeper"].put_photo(scene.url("photos", f"{photo}?act={sent['tendings']}"), photo_file(41, 31))
    sent["photo-removals"] = scene.done("photo-removals", scene.entry(photo=photo))
    return sent
