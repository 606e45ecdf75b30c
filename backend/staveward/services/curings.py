"""Curing: the first water, and the verdict that ends it."""

from __future__ import annotations

from collections.abc import Iterable

from staveward.models import Act, Barrel, Curing, Placement
from staveward.selectors.standing import Standing
from staveward.services.authority import require
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Impossible
from staveward.services.feed import FeedRow
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
    _note_masses(command, act, dry_mass_kg=command.data.get("dry_mass_kg"))
    return ()


def _judge_verdict(command: ActCommand) -> list[str]:
    assert command.barrel is not None
    weighed = command.data.get("weighed_capacity_l")
    if (
        weighed is not None
        and not 0.5 * command.barrel.nominal_l <= weighed <= 1.5 * command.barrel.nominal_l
    ):
        nominal_l = command.barrel.nominal_l
        raise Impossible.field(
            "weighed_capacity_l",
            weighed,
            f"{0.5 * nominal_l:g} to {1.5 * nominal_l:g} L",
            f"The maker says {nominal_l:g} L; {weighed:g} L is too far from it. Weigh once more.",
        )
    return []


def _save_verdict(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    _note_masses(
        command,
        act,
        wet_mass_kg=command.data.get("wet_mass_kg"),
        weighed_capacity_l=command.data.get("weighed_capacity_l"),
    )
    return ()


def _note_masses(command: ActCommand, act: Act, **measured: float | None) -> None:
    """Writes what was weighed into the register, where it serves every later computation."""
    known = {name: value for name, value in measured.items() if value is not None}
    # A second correction of the same entry waits for the keeper and weighs nothing.
    if act.placement == Placement.PLACED and known and command.barrel is not None:
        Barrel.objects.filter(pk=command.barrel.pk).update(**known)


KINDS = (
    ActKind("curings", "opening", cellar_work, judge=_judge_curing, save_detail=_save_curing),
    ActKind("curing-verdicts", "closing", cellar_work, judge=_judge_verdict, save_detail=_save_verdict),
)
