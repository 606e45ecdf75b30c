"""Curing: the first water, and the verdict that ends it."""

from __future__ import annotations

from collections.abc import Iterable

from staveward.models import Act, Curing
from staveward.science.alcoholometry import density_from_abv_kg_m3
from staveward.science.gauging import volume_from_weight_l
from staveward.science.vocabulary import CuringVerdict
from staveward.selectors.curings import curing_tightness
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Impossible
from staveward.services.feed import FeedRow
from staveward.services.measures import measures_note
from staveward.services.water import volume_judged


def cellar_work(command: ActCommand, standing: Standing) -> None:
    """Opens the cellar's work to keepers, and to the owners of the wood."""
    require(command.author, "cellar_work", owners=standing.owners, detail="Only the keeper does this work.")


def _judge_curing(command: ActCommand) -> list[str]:
    assert command.barrel is not None
    return volume_judged(command.barrel, command.data["water_l"], "water_l")


def _save_curing(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    Curing.objects.create(
        act=act, water_l=command.data["water_l"], dry_mass_kg=command.data.get("dry_mass_kg")
    )
    measures_note(act, command.data)
    return ()


def _judge_verdict(command: ActCommand) -> list[str]:
    barrel = command.barrel
    assert barrel is not None
    weighed = _weighed_capacity_l(command)
    if weighed is not None and not 0.5 * barrel.nominal_l <= weighed <= 1.5 * barrel.nominal_l:
        raise Impossible.field(
            "weighed_capacity_l",
            weighed,
            f"{0.5 * barrel.nominal_l:g} to {1.5 * barrel.nominal_l:g} L",
            f"The maker says {barrel.nominal_l:g} L; {weighed:.4g} L is too far from it. Weigh once more.",
        )
    if command.data["verdict"] != CuringVerdict.TIGHT:
        if not (command.data.get("reason") or "").strip():
            raise Impossible.field(
                "reason", None, "a sentence", "Say why it was given up, so that the next one knows."
            )
        return []
    judged = curing_tightness(barrel, command.happened_at)
    # Whoever stands at the barrel decides; that the top-ups do not show it yet is kept beside the verdict.
    return [] if judged is not None and judged.verdict == CuringVerdict.TIGHT else ["not_shown_tight"]


def _weighed_capacity_l(command: ActCommand) -> float | None:
    """Returns the weight of the water it held over the density of that water, else the capacity as sent.

    The weights come first: a correction of one must not leave the capacity that the old one made.
    """
    said: float | None = command.data.get("weighed_capacity_l")
    full_kg, wet_kg = command.data.get("full_mass_kg"), command.data.get("wet_mass_kg")
    if full_kg is None or wet_kg is None:
        return said
    if full_kg <= wet_kg:
        raise Impossible.field(
            "full_mass_kg",
            full_kg,
            f"more than the {wet_kg:g} kg it weighs drained",
            "A full barrel weighs more than the same barrel drained. Weigh once more.",
        )
    temp_c = command.data.get("water_temp_c")
    density = density_from_abv_kg_m3(0.0, 20.0 if temp_c is None else temp_c)
    return round(float(volume_from_weight_l(full_kg - wet_kg, density)), 4)


def _save_verdict(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    measures_note(act, {**command.data, "weighed_capacity_l": _weighed_capacity_l(command)})
    return ()


KINDS = (
    ActKind("curings", "opening", cellar_work, judge=_judge_curing, save_detail=_save_curing),
    ActKind("curing-verdicts", "closing", cellar_work, judge=_judge_verdict, save_detail=_save_verdict),
)
