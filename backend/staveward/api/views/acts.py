"""One view for every collection of acts: replay, check, receive, answer."""

from __future__ import annotations

from typing import Any, ClassVar

from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.serializers import Serializer

from staveward.api.idempotency import uuid7_checked
from staveward.api.schema import NEW_ID, SENT_AT, WRITE, documented
from staveward.api.serializers import acts, bottles, fills, readings, tastings
from staveward.api.serializers.log import LogEntryOutput
from staveward.api.validation import validated
from staveward.api.views.base import ClubView
from staveward.models import Act
from staveward.selectors.log import log_queryset, log_row
from staveward.services.acts import act_receive, act_replay, command_build
from staveward.services.errors import Missing


class EntryView(ClubView):
    """Receives what the device made: the road of acts and of registers alike."""

    collection: ClassVar[str]
    input_class: ClassVar[type[Serializer[Any]]]

    def receive(self, id: str) -> tuple[Act, bool]:
        """Returns the act of this request, and whether it is new."""
        act_id = uuid7_checked(id)
        body, fingerprint = self.body()
        path = self.address(self.collection, str(act_id))
        earlier = act_replay(
            club=self.club, author=self.person, act_id=act_id, path=path, body_sha256=fingerprint
        )
        if earlier is not None:
            return earlier, False
        return act_receive(
            command_build(
                club=self.club,
                author=self.person,
                collection=self.collection,
                act_id=act_id,
                path=path,
                body=body,
                body_sha256=fingerprint,
                data=validated(self.input_class, body),
                received_at=self.now,
                sent_at=self.sent_at(),
            )
        )


class ActView(EntryView):
    """An act by PUT, and as an entry of the log by GET."""

    deed = "see"

    def put(self, request: Request, club: str, id: str) -> Response:
        act, is_new = self.receive(id)
        return Response(self.answer(act), status=201 if is_new else 200)

    def get(self, request: Request, club: str, id: str) -> Response:
        act = (
            log_queryset(self.club, self.person)
            .filter(pk=self.row_id(id), collection=self.collection)
            .first()
        )
        if act is None:
            raise Missing("There is no such entry.")
        return Response(log_row(act, self.person))

    def answer(self, act: Act) -> dict[str, Any]:
        return {
            "id": act.pk,
            "collection": act.collection,
            "placement": act.placement,
            "set_aside_reason": act.set_aside_reason,
            "flags": act.flags,
            "row": log_row(act, self.person),
        }


SUMMARIES: dict[str, tuple[str, str, type[Serializer[Any]]]] = {
    "curings": ("Curing", "Fill a new barrel with water until it is tight", acts.CuringInput),
    "curing-verdicts": ("CuringVerdict", "Say that a curing is tight or given up", acts.CuringVerdictInput),
    "fills": ("Fill", "Fill a barrel", fills.FillInput),
    "decants": ("Decant", "Empty a fill out of its barrel, with the measured yield", acts.DecantInput),
    "holds": ("Hold", "Put a barrel into a wet hold", acts.HoldInput),
    "drainings": ("Draining", "Drain the water of a curing or a hold", acts.DrainingInput),
    "tendings": ("Tending", "Log what was done to a barrel", acts.TendingInput),
    "readings": ("Reading", "Log a measurement", readings.ReadingInput),
    "tastings": ("Tasting", "Log a taste", tastings.TastingInput),
    "samples": ("Sample", "Log a sample that nobody scores", tastings.SampleInput),
    "moves": ("Move", "Carry a barrel to another place", acts.MoveInput),
    "ownerships": ("Ownership", "Say who owns a barrel", acts.OwnershipInput),
    "retirements": ("Retirement", "Retire a barrel", acts.RetirementInput),
    "repairs": ("Repair", "Char or toast a barrel's wood anew", acts.RepairInput),
    "loans": ("Loan", "Lend a barrel", acts.LoanInput),
    "loan-returns": ("LoanReturn", "Take a lent barrel back", acts.LoanReturnInput),
    "tag-issues": ("TagIssue", "Give a barrel another tag", acts.TagIssueInput),
    "troubles": ("Trouble", "Raise trouble at a barrel", acts.TroubleInput),
    "trouble-settlements": ("TroubleSettlement", "Settle trouble", acts.TroubleSettlementInput),
    "pull-votes": ("PullVote", "Say whether a fill is to be pulled", bottles.PullVoteInput),
    "pulls": ("Pull", "Decide that a fill is pulled", bottles.PullInput),
    "blends": ("Blend", "Pour vessels together into a new one", bottles.BlendInput),
    "discards": ("Discard", "Pour away what a vessel holds", bottles.DiscardInput),
    "bottlings": ("Bottling", "Fill bottles from a vessel and divide them", bottles.BottlingInput),
    "bottle-changes": ("BottleChange", "Say what became of a bottle", bottles.BottleChangeInput),
    "voids": ("Void", "Take an entry back", acts.VoidInput),
    "photo-removals": ("PhotoRemoval", "Take a photo back", acts.PhotoRemovalInput),
    "tray-decisions": ("TrayDecision", "Decide on an entry that was set aside", acts.TrayDecisionInput),
}


def _view(collection: str, entity: str, summary: str, input_class: type[Serializer[Any]]) -> type[ActView]:
    """Builds and describes the view of one collection."""
    view = type(f"{entity}ActView", (ActView,), {"collection": collection, "input_class": input_class})
    word = entity[0].lower() + entity[1:]
    view.put = documented(  # type: ignore[attr-defined]
        f"{word}Put",
        {200: acts.ActOutput, 201: acts.ActOutput},
        request=input_class,
        problems=WRITE,
        parameters=(NEW_ID, SENT_AT),
        tag="acts",
        summary=summary,
    )(_own(ActView.put))
    view.get = documented(  # type: ignore[attr-defined]
        f"{word}Get", {200: LogEntryOutput}, parameters=(), tag="acts", summary=f"Read: {summary.lower()}"
    )(_own(ActView.get))
    return view


def _own(method: Any) -> Any:
    """Gives a view its own copy of a method, since a description is kept on the function."""

    def copy(self: ActView, request: Request, club: str, id: str) -> Response:
        answer: Response = method(self, request, club, id)
        return answer

    copy.__name__ = method.__name__
    copy.__doc__ = None
    return copy


ACT_VIEWS: dict[str, type[ActView]] = {
    collection: _view(collection, *described) for collection, described in SUMMARIES.items()
}
