"""Readings: scale, dip, alcoholmeter, and the climate of a place."""

from __future__ import annotations

from collections.abc import Iterable

from staveward.models import Act, Fill, Reading, Role, Stay
from staveward.science.alcoholometry import abv_pct_from_reading
from staveward.science.vocabulary import ReadingKind
from staveward.selectors.expected import Seen, reading_is_odd
from staveward.selectors.forecasts import forecast_at
from staveward.selectors.geometry import barrel_shape
from staveward.selectors.standing import Standing
from staveward.selectors.stays import standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Impossible
from staveward.services.feed import FeedRow
from staveward.services.lookup import place_in
from staveward.services.water import volume_judged

NEEDS = {
    ReadingKind.WEIGHT: ("mass_kg",),
    ReadingKind.ALCOHOLMETER: ("abv_apparent_pct", "temp_c"),
    ReadingKind.CLIMATE: ("temp_c", "rh"),
    ReadingKind.SO2_STRIP: ("so2_mg_l",),
}
MM_PER_CM = 10.0


def _authorise(command: ActCommand, standing: Standing) -> None:
    climate = command.data["kind"] == ReadingKind.CLIMATE
    require(
        command.author,
        "measure_climate" if climate else "measure",
        sharers=standing.sharers,
        owners=standing.owners,
        detail="A sensor may only send the climate of its place."
        if command.author.role == Role.SENSOR
        else "This club lets only the keeper and a fill's sharers take readings.",
    )


def _judge(command: ActCommand) -> list[str]:
    data = command.data
    kind = ReadingKind(data["kind"])
    for name in NEEDS.get(kind, ()):
        if data.get(name) is None:
            raise Impossible.field(
                name, None, f"a number, for a reading of {kind}", f"A {kind} reading needs {name}."
            )
    if kind == ReadingKind.CLIMATE:
        if (data.get("place") is None) == (command.barrel is None):
            raise Impossible.field(
                "place",
                None,
                "a place, or a barrel",
                "Say where the climate was read: one place or one barrel.",
            )
        return []
    if command.barrel is None:
        raise Impossible.field("barrel", None, "a barrel of this club", "Say which barrel was measured.")
    flags = _judge_dip(command) if kind == ReadingKind.DIP else []
    return [*flags, "outlier"] if _is_odd(command) else flags


def _is_odd(command: ActCommand) -> bool:
    """Whether a reading lies far from what the stored forecast expects of that moment: kept, and asked for again."""
    assert command.barrel is not None
    stay = (
        Stay.objects.filter(barrel=command.barrel, ended_at__isnull=True, started_at__lte=command.happened_at)
        .select_related("forecast")
        .first()
    )
    if stay is None or stay.forecast is None:
        return False
    expected = forecast_at(stay.forecast.near, command.happened_at)
    seen = _figure(command)
    if expected is None or seen is None:
        return False
    return reading_is_odd(command.barrel, seen, expected, _sugar_g_l(stay))


def _sugar_g_l(stay: Stay) -> float:
    fills = Fill.objects.filter(standing(), act__collection="fills", act__stay=stay)
    return fills.values_list("sugar_g_l", flat=True).first() or 0.0


def _figure(command: ActCommand) -> Seen | None:
    """Returns what was read, in the unit that a forecast speaks of."""
    data = command.data
    match ReadingKind(data["kind"]):
        case ReadingKind.WEIGHT:
            return Seen("mass_kg", data["mass_kg"])
        case ReadingKind.DIP:
            return Seen("volume_l", _dipped_l(command))
        case ReadingKind.ALCOHOLMETER:
            return Seen("abv_pct", float(abv_pct_from_reading(data["abv_apparent_pct"], data["temp_c"])))
        case _:
            return None


def _dipped_l(command: ActCommand) -> float:
    assert command.barrel is not None
    volume_l = command.data.get("volume_l")
    if volume_l is not None:
        return float(volume_l)
    return float(barrel_shape(command.barrel).volume_at_dip_l(command.data["dip_mm"] / MM_PER_CM))


def _judge_dip(command: ActCommand) -> list[str]:
    assert command.barrel is not None
    dip_mm, volume_l = command.data.get("dip_mm"), command.data.get("volume_l")
    if dip_mm is None and volume_l is None:
        raise Impossible.field(
            "dip_mm", None, "a depth or a volume", "A dip needs a depth in mm or the litres it means."
        )
    if dip_mm is not None:
        deepest_mm = barrel_shape(command.barrel).bilge_diameter_cm * MM_PER_CM
        if dip_mm > deepest_mm:
            raise Impossible.field(
                "dip_mm",
                dip_mm,
                f"0 to {deepest_mm:.0f} mm",
                f"{command.barrel.name} is {deepest_mm:.0f} mm deep at the bung; {dip_mm:g} mm cannot be wet.",
            )
    return volume_judged(command.barrel, volume_l, "volume_l") if volume_l is not None else []


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    data = command.data
    kind = ReadingKind(data["kind"])
    place = place_in(command.club, data["place"], "place") if data.get("place") else None
    if place is None and kind == ReadingKind.CLIMATE and command.barrel is not None:
        place = command.barrel.place
    volume_l, abv_pct = data.get("volume_l"), None
    if kind == ReadingKind.DIP and command.barrel is not None:
        volume_l = _dipped_l(command)
    if kind == ReadingKind.ALCOHOLMETER:
        abv_pct = float(abv_pct_from_reading(data["abv_apparent_pct"], data["temp_c"]))
    Reading.objects.create(
        act=act,
        kind=kind,
        place=place,
        mass_kg=data.get("mass_kg"),
        dip_mm=data.get("dip_mm"),
        volume_l=volume_l,
        abv_apparent_pct=data.get("abv_apparent_pct"),
        abv_pct=abv_pct,
        temp_c=data.get("temp_c"),
        rh=data.get("rh"),
        so2_mg_l=data.get("so2_mg_l"),
    )
    return [("places", place.pk)] if place is not None else []


KINDS = (ActKind("readings", "event", _authorise, judge=_judge, save_detail=_save),)
