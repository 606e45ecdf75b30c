"""Bottling: a vessel into bottles, divided by its shares, each bottle with a tag of its own.

Whole bottles go by the largest remainder and the heel by what each still lacks; whoever swaps says so in ``given``, and
pays for what they got. A phone without signal settles ties by what it knows and says so in ``drawn``; where the club
knew of another tie, the bottles stay where they were handed out, flagged. A bottling is frozen: what was wrong is taken
back and entered anew.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any
from uuid import UUID, uuid5

from staveward.models import Act, Bottle, Bottling, BottlingShare, Vessel
from staveward.science.sharing import SizesDivision, divide_sizes, split_cost
from staveward.selectors.standing import Standing
from staveward.selectors.ties import Sharing, company_of, same_company, sharings
from staveward.services.commands import ActCommand, ActKind
from staveward.services.errors import Impossible
from staveward.services.feed import FeedRow
from staveward.services.lookup import person_in
from staveward.services.tags import tag_codes_new
from staveward.services.vessels import vessel_authorise, vessel_draw, vessel_in

ML_PER_L = 1000.0
# A bottle holds a little more than its label says, up to the brim: common practice, no source.
BRIM_OVER_LABEL = 1.1
SWAPPED = "swapped"
DRAWN_APART = "drawn_apart"


def bottle_id(bottling_id: UUID, number: int) -> UUID:
    """Returns the key of a bottle, which a phone without signal works out for itself (UUID version 5, RFC 9562)."""
    return uuid5(bottling_id, str(number))


def _authorise(command: ActCommand, standing: Standing) -> None:
    vessel_authorise(command.author, vessel_in(command.club, command.data["vessel"], "vessel"))


def _judge(command: ActCommand) -> list[str]:
    data = command.data
    sizes = [line["size_ml"] for line in data["bottles"]]
    if len(set(sizes)) != len(sizes):
        raise Impossible.field("bottles", sizes, "each size once", "A size of bottle stands here twice.")
    for line in data["bottles"]:
        most_ml = round(BRIM_OVER_LABEL * line["size_ml"])
        if line["fill_ml"] > most_ml:
            raise Impossible.field(
                "bottles",
                line["fill_ml"],
                f"1 to {most_ml} mL in a bottle of {line['size_ml']} mL",
                f"{line['fill_ml']} mL do not go into a bottle of {line['size_ml']} mL.",
            )
    if data.get("given") is None:
        return []
    _given_judged(command)
    vessel = vessel_in(command.club, data["vessel"], "vessel")
    sharing = sharings([vessel])[vessel.pk]
    given = _given(data)
    if given == _counts(data["bottles"], sharing, _fair(data, sharing)):
        return []
    drawn = sharing.order_of(data.get("drawn"))
    as_drawn = drawn is not None and given == _counts(
        data["bottles"], sharing, _fair(data, replace(sharing, tie_order=drawn))
    )
    return [DRAWN_APART if as_drawn else SWAPPED]


def _given_judged(command: ActCommand) -> None:
    """Refuses a division that names a stranger, or does not add up to the bottles that were filled."""
    data = command.data
    for line in data["given"]:
        if line["person"] is not None:
            person_in(command.club, line["person"], "given", command.happened_at)
    filled = {line["size_ml"]: line["count"] for line in data["bottles"]}
    handed: dict[int, int] = dict.fromkeys(filled, 0)
    for line in data["given"]:
        if line["size_ml"] not in filled:
            raise Impossible.field(
                "given", line["size_ml"], f"one of {sorted(filled)} mL", "No bottle of that size was filled."
            )
        handed[line["size_ml"]] += line["count"]
    for size_ml, count in filled.items():
        if handed[size_ml] != count:
            raise Impossible.field(
                "given",
                handed[size_ml],
                f"{count} bottles of {size_ml} mL in all",
                f"{handed[size_ml]} bottles of {size_ml} mL are given out, {count} were filled.",
            )


def _fair(data: dict[str, Any], sharing: Sharing) -> SizesDivision:
    sizes = [(line["fill_ml"], line["count"]) for line in data["bottles"]]
    return divide_sizes(sizes, sharing.weights, data.get("heel_ml") or 0, sharing.tie_order)


def _counts(
    bottles: list[dict[str, Any]], sharing: Sharing, division: SizesDivision
) -> dict[tuple[UUID | None, int], int]:
    """Returns how many bottles of each size each gets."""
    return {
        (person_id, line["size_ml"]): count
        for line, counts in zip(bottles, division.bottles, strict=True)
        for person_id, count in zip(sharing.people, counts, strict=True)
        if count
    }


def _given(data: dict[str, Any]) -> dict[tuple[UUID | None, int], int]:
    found: dict[tuple[UUID | None, int], int] = {}
    for line in data["given"]:
        if line["count"]:
            key = (line["person"], line["size_ml"])
            found[key] = found.get(key, 0) + line["count"]
    return found


def _save(command: ActCommand, act: Act) -> Iterable[FeedRow]:
    data = command.data
    vessel = vessel_in(command.club, data["vessel"], "vessel")
    heel_ml, loss_ml = data.get("heel_ml") or 0, data.get("loss_ml") or 0
    drawn_ml = heel_ml + loss_ml + sum(line["fill_ml"] * line["count"] for line in data["bottles"])
    rows = vessel_draw(act, command.club, vessel.pk, drawn_ml / ML_PER_L, "bottles")
    sharing = sharings([vessel])[vessel.pk]
    fair = _fair(data, sharing)
    given = _counts(data["bottles"], sharing, fair) if data.get("given") is None else _given(data)
    bottling = Bottling.objects.create(
        act=act,
        vessel=vessel,
        loss_ml=loss_ml,
        heel_ml=heel_ml,
        abv_pct=data.get("abv_pct"),
        cost_minor=_cost(vessel, drawn_ml),
    )
    _shares_save(bottling, data["bottles"], sharing, fair, given)
    bottles = _bottles_save(command, act, bottling, given)
    # Whoever lost a tie here goes first at the other vessels of the same people.
    is_tie = bool(fair.lost or data.get("drawn"))
    owed = same_company(command.club, [company_of(vessel)] if is_tie else [], vessel.pk)
    return [
        *rows,
        *(("vessels", key) for key in owed),
        *(("bottles", bottle.pk) for bottle in bottles),
    ]


def _cost(vessel: Vessel, drawn_ml: int) -> int | None:
    """Returns the part of what a vessel cost that its bottles carry: what the air took is paid by what came out."""
    if vessel.cost_minor is None or not vessel.volume_l:
        return None
    return round(vessel.cost_minor * min(1.0, drawn_ml / (ML_PER_L * vessel.volume_l)))


def _shares_save(
    bottling: Bottling,
    bottles: list[dict[str, Any]],
    sharing: Sharing,
    fair: SizesDivision,
    given: dict[tuple[UUID | None, int], int],
) -> None:
    fill_ml = {line["size_ml"]: line["fill_ml"] for line in bottles}
    # Somebody may hold no share and still be given a bottle.
    others = sorted({person for person, _ in given} - set(sharing.people), key=str)
    people = [*sharing.people, *others]
    heel = dict(zip(sharing.people, fair.heel_split_ml, strict=True))
    fair_ml = dict(zip(sharing.people, fair.received_ml, strict=True))
    counts = {person: sum(n for (who, _), n in given.items() if who == person) for person in people}
    received = {
        person: heel.get(person, 0)
        + sum(fill_ml[size] * n for (who, size), n in given.items() if who == person)
        for person in people
    }
    total_ml = sum(received.values())
    costs: dict[UUID | None, int] = {}
    if bottling.cost_minor is not None and total_ml:
        split = split_cost(bottling.cost_minor, [received[person] for person in people])
        costs = dict(zip(people, split, strict=True))
    BottlingShare.objects.bulk_create(
        BottlingShare(
            bottling=bottling,
            person_id=person,
            bottles=counts[person],
            heel_ml=heel.get(person, 0),
            received_ml=received[person],
            fair_ml=fair_ml.get(person, 0),
            cost_minor=costs.get(person),
        )
        for person in people
    )


def _bottles_save(
    command: ActCommand, act: Act, bottling: Bottling, given: dict[tuple[UUID | None, int], int]
) -> list[Bottle]:
    fill_ml = {line["size_ml"]: line["fill_ml"] for line in command.data["bottles"]}
    # Numbers run through one person's bottles, the largest first, so that a hand-over is a run of numbers.
    lines = sorted(given.items(), key=lambda line: (str(line[0][0] or "~"), -line[0][1]))
    each = [key for key, count in lines for _ in range(count)]
    codes = tag_codes_new(command.club, len(each))
    bottles = [
        Bottle(
            id=bottle_id(act.pk, number),
            club=command.club,
            bottling=bottling,
            number=number,
            tag_code=code,
            size_ml=size_ml,
            fill_ml=fill_ml[size_ml],
            level_ml=fill_ml[size_ml],
            first_holder_id=person_id,
            holder_id=person_id,
            air_at=act.ordered_at,
        )
        for number, ((person_id, size_ml), code) in enumerate(zip(each, codes, strict=True), start=1)
    ]
    Bottle.objects.bulk_create(bottles, batch_size=200)
    return bottles


KINDS = (ActKind("bottlings", "event", _authorise, judge=_judge, save_detail=_save),)
