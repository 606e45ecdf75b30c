"""Photos of entries: what is taken and what is refused, what is kept of them, and who reads them."""

from __future__ import annotations

import hashlib
import io
from typing import Any

import pytest
from django.http import HttpResponse
from PIL import Image

from staveward.models import Change, Club, Fill, Photo
from staveward.selectors.photos import photo_path
from staveward.services.club_check import club_check
from staveward.services.photos import MOST_A_ENTRY
from tests.api.cast import Cast, ago, content_digest, photo_file, problem, uuid7
from tests.factories import BarrelFactory

pytestmark = pytest.mark.django_db

# Exif 2.32 (CIPA DC-008): orientation is tag 0x0112, the GPS notes hang on tag 0x8825.
ORIENTATION, GPS = 0x0112, 0x8825


def sent(
    cast: Cast, act: str, photo: bytes, by: str = "keeper", id: str = "", **options: Any
) -> HttpResponse:
    return cast[by].put_photo(cast.url("photos", f"{id or uuid7()}?act={act}"), photo, **options)


def picture(answer: HttpResponse) -> Image.Image:
    return Image.open(io.BytesIO(answer.content))


def roll(cast: Cast, by: str = "keeper") -> str:
    return cast.done("tendings", cast.at_barrel(tasks=["roll"]), by=by)


def test_a_photo_is_kept_upright_no_larger_than_said_and_without_a_note(cast: Cast) -> None:
    notes = Image.Exif()
    notes[ORIENTATION] = 6
    notes[0x010F] = "A camera"
    notes.get_ifd(GPS).update({1: "N", 2: (54.0, 30.0, 0.0)})
    photo_id = uuid7()

    answer = sent(
        cast, roll(cast), photo_file(2400, 1200, exif=notes.tobytes(), comment=b"secret"), id=photo_id
    )

    assert answer.status_code == 201, answer.content
    read = cast["member"].get(cast.url("photos", photo_id))
    assert (read.status_code, read["Content-Type"]) == (200, "image/jpeg")
    kept = picture(read)
    # Orientation 6 is a quarter turn: what was wide stands.
    assert (kept.format, kept.size) == ("JPEG", (800, 1600))
    assert not kept.getexif()
    assert not {"exif", "comment", "icc_profile", "xmp"} & kept.info.keys()
    assert b"A camera" not in read.content
    assert hashlib.sha256(read.content).hexdigest() == answer.json()["sha256"]
    assert (answer.json()["width_px"], answer.json()["height_px"]) == (800, 1600)
    assert "private" in read["Cache-Control"]


def test_a_small_one_is_there_for_a_strip_of_many_and_a_small_photo_stays_as_it_is(cast: Cast) -> None:
    photo_id = uuid7()
    sent(cast, roll(cast), photo_file(1000, 500), id=photo_id)

    small = picture(cast["keeper"].get(cast.url("photos", f"{photo_id}?size=small")))
    whole = picture(cast["keeper"].get(cast.url("photos", photo_id)))

    assert (small.size, whole.size) == ((320, 160), (1000, 500))


@pytest.mark.parametrize("form", ["PNG", "WEBP"])
def test_other_photo_files_become_jpeg(cast: Cast, form: str) -> None:
    photo_id = uuid7()
    answer = sent(cast, roll(cast), photo_file(form=form), id=photo_id, content_type=f"image/{form.lower()}")

    assert answer.status_code == 201
    assert picture(cast["keeper"].get(cast.url("photos", photo_id))).format == "JPEG"


NO_PHOTOS = {
    "text": b"this is a photo, honest",
    "nothing": b"",
    "a page": b"<html><script>alert(1)</script></html>",
    "a drawing": b'<svg xmlns="http://www.w3.org/2000/svg"><rect width="9" height="9"/></svg>',
    "another kind of picture": photo_file(form="GIF"),
    "half a photo": photo_file(400, 300)[:500],
    "a photo's first bytes": b"\xff\xd8\xff\xe0" + b"\0" * 200,
}


@pytest.mark.parametrize("content", NO_PHOTOS.values(), ids=NO_PHOTOS.keys())
def test_a_photo_that_is_no_photo_is_refused_whatever_it_is_called(cast: Cast, content: bytes) -> None:
    answer = sent(cast, roll(cast), content)

    assert (answer.status_code, problem(answer)["code"]) == (422, "not_a_photo")
    assert not Photo.objects.exists()


def test_a_picture_that_would_fill_the_memory_is_refused(cast: Cast) -> None:
    """A file of a few kilobytes can claim to be an acre of one colour."""
    answer = sent(cast, roll(cast), photo_file(10_000, 7_000, form="PNG"), content_type="image/png")

    assert (answer.status_code, problem(answer)["code"]) == (422, "not_a_photo")
    assert "10000 by 7000" in problem(answer)["detail"]


def test_more_than_the_server_reads_is_refused(cast: Cast) -> None:
    answer = sent(cast, roll(cast), b"\xff" * (2 * 1024 * 1024 + 1))

    assert (answer.status_code, problem(answer)["code"]) == (413, "body_too_large")


def test_half_of_it_is_refused_by_its_fingerprint(cast: Cast) -> None:
    whole = photo_file(800, 600)
    answer = sent(cast, roll(cast), whole[:-10], digest=content_digest(whole))

    assert (answer.status_code, problem(answer)["code"]) == (400, "digest_differs")


@pytest.mark.parametrize("digest", ["", "sha-256=:short:", "md5=:1B2M2Y8AsgTpgAmY7PhCfg==:", "sha-256=:%:"])
def test_a_fingerprint_is_asked_for(cast: Cast, digest: str) -> None:
    answer = sent(cast, roll(cast), photo_file(), digest=digest)

    assert (answer.status_code, problem(answer)["code"]) == (400, "malformed")


def test_what_is_called_no_picture_is_not_read(cast: Cast) -> None:
    answer = sent(cast, roll(cast), photo_file(), content_type="application/json")

    assert answer.status_code == 415


@pytest.mark.parametrize("act", ["", "nonsense", None])
def test_it_belongs_to_an_entry_of_the_club(cast: Cast, act: str | None) -> None:
    other = Cast()
    named = act if act is not None else roll(other)
    answer = sent(cast, named, photo_file())

    assert answer.status_code == (422 if act is None else 400)
    assert problem(answer)["fields"][0]["field"] == "act"


def test_an_edit_of_a_register_takes_no_photo(cast: Cast) -> None:
    place = cast.done("places", cast.entry(name="Loft"))
    answer = sent(cast, place, photo_file())

    assert (answer.status_code, problem(answer)["fields"][0]["field"]) == (422, "act")


def test_the_same_photo_again_is_the_same_photo(cast: Cast) -> None:
    act, photo, photo_id = roll(cast), photo_file(), uuid7()
    first = sent(cast, act, photo, id=photo_id)
    again = sent(cast, act, photo, id=photo_id)

    assert (first.status_code, again.status_code) == (201, 200)
    assert first.json() == again.json()
    assert Photo.objects.count() == 1


def test_another_photo_entry_or_author_under_its_id_is_refused(cast: Cast) -> None:
    act, photo, photo_id = roll(cast), photo_file(), uuid7()
    sent(cast, act, photo, id=photo_id)

    tries = [
        sent(cast, act, photo_file(colour="teal"), id=photo_id),
        sent(cast, roll(cast), photo, id=photo_id),
        sent(cast, act, photo, id=photo_id, by="admin"),
    ]

    assert [(answer.status_code, problem(answer)["code"]) for answer in tries] == [(409, "id_reused")] * 3


def test_its_sender_gets_the_answer_again_after_losing_the_role(cast: Cast) -> None:
    act, photo, photo_id = roll(cast, by="member"), photo_file(), uuid7()
    sent(cast, act, photo, id=photo_id, by="member")
    Club.objects.update(members_may_tend=False)

    assert sent(cast, act, photo, id=photo_id, by="member").status_code == 200


def test_an_entry_takes_so_many_and_no_more(cast: Cast) -> None:
    act = roll(cast)
    for shade in range(MOST_A_ENTRY):
        assert sent(cast, act, photo_file(colour=f"#0000{shade:02x}")).status_code == 201

    answer = sent(cast, act, photo_file(colour="teal"))

    assert (answer.status_code, problem(answer)["code"]) == (409, "too_many")


def test_a_member_adds_to_what_is_theirs_and_not_to_what_others_wrote(cast: Cast) -> None:
    theirs, mine = roll(cast), roll(cast, by="member")

    assert sent(cast, theirs, photo_file(), by="member").status_code == 403
    assert sent(cast, mine, photo_file(), by="member").status_code == 201
    assert sent(cast, mine, photo_file(), by="tablet").status_code == 403


def test_a_photo_of_a_private_fill_is_for_its_sharers_and_the_keepers(cast: Cast) -> None:
    fill = cast.fill(is_private=True)
    photo_id = uuid7()
    sent(cast, fill, photo_file(), id=photo_id, by="sharer")
    rolled = roll(cast)
    rolled_photo = uuid7()
    sent(cast, rolled, photo_file(colour="teal"), id=rolled_photo)

    seen = {
        who: (
            cast[who].get(cast.url("photos", photo_id)).status_code,
            cast[who].get(cast.url("photos", rolled_photo)).status_code,
            photo_id in photos_in_feed(cast, who),
            rolled_photo in photos_in_feed(cast, who),
        )
        for who in ("keeper", "sharer", "other_sharer", "member", "owner")
    }

    inside, outside = (200, 200, True, True), (404, 404, False, False)
    assert seen == {
        "keeper": inside,
        "sharer": inside,
        "other_sharer": inside,
        "member": outside,
        "owner": outside,
    }
    assert sent(cast, rolled, photo_file(), by="member").status_code == 403


def taken_back(cast: Cast, photo_id: str, by: str = "keeper", id: str = "", at: str = "") -> HttpResponse:
    body = {"happened_at": at or ago(), "entered_at": at or ago(), "photo": photo_id}
    return cast[by].put(cast.url("photo-removals", id or uuid7()), body)


def test_a_photo_taken_back_is_gone_but_for_that_it_was_there(
    cast: Cast, django_capture_on_commit_callbacks: Any
) -> None:
    act, photo, photo_id, removal_id, at = roll(cast), photo_file(), uuid7(), uuid7(), ago()
    sha256 = sent(cast, act, photo, id=photo_id).json()["sha256"]
    files = [photo_path(cast.club.pk, sha256, size) for size in ("whole", "small")]
    assert all(file.is_file() for file in files)

    with django_capture_on_commit_callbacks(execute=True):
        first = taken_back(cast, photo_id, id=removal_id, at=at)
        again = taken_back(cast, photo_id, id=removal_id, at=at)

    assert (first.status_code, again.status_code) == (201, 200)
    assert not any(file.exists() for file in files)
    assert cast["keeper"].get(cast.url("photos", photo_id)).status_code == 404
    row = photos_in_feed(cast, "keeper")[photo_id]
    assert (row["removed_by"], row["removed_at"] is None) == (cast.id("keeper"), False)
    # The phone that had not heard the answer sends it once more: it is the same photo, and stays gone.
    repeat = sent(cast, act, photo, id=photo_id)
    assert (repeat.status_code, repeat.json()["removed_at"]) == (200, row["removed_at"])
    assert not files[0].exists()
    assert photo_faults(cast) == []
    # It makes room for another.
    assert sent(cast, act, photo, id=uuid7()).status_code == 201
    assert files[0].is_file()


def test_the_same_picture_at_another_entry_stays(cast: Cast, django_capture_on_commit_callbacks: Any) -> None:
    first, second = uuid7(), uuid7()
    sent(cast, roll(cast), photo_file(), id=first)
    sent(cast, roll(cast), photo_file(), id=second)

    with django_capture_on_commit_callbacks(execute=True):
        taken_back(cast, first)
    assert cast["keeper"].get(cast.url("photos", second)).status_code == 200

    with django_capture_on_commit_callbacks(execute=True):
        taken_back(cast, second)
    assert cast["keeper"].get(cast.url("photos", second)).status_code == 404


def test_whoever_added_it_or_the_keeper_takes_it_back(cast: Cast) -> None:
    fill = cast.fill()
    by_sharer, by_keeper = uuid7(), uuid7()
    sent(cast, fill, photo_file(), id=by_sharer, by="sharer")
    sent(cast, fill, photo_file(colour="teal"), id=by_keeper)

    refused = [
        taken_back(cast, by_keeper, by="sharer"),
        taken_back(cast, by_sharer, by="other_sharer"),
        taken_back(cast, by_sharer, by="tablet"),
    ]
    assert [answer.status_code for answer in refused] == [403] * 3
    assert taken_back(cast, by_sharer, by="sharer").status_code == 201
    # A second word changes nothing: who was first did it.
    assert taken_back(cast, by_sharer, by="keeper").status_code == 201
    assert Photo.objects.get(pk=by_sharer).removed_by == cast.people["sharer"]
    other = Cast()
    theirs = uuid7()
    sent(other, roll(other), photo_file(), id=theirs)
    assert problem(taken_back(cast, theirs))["fields"][0]["field"] == "photo"


def test_a_fill_made_private_later_closes_its_photos_too(cast: Cast) -> None:
    fill, photo_id = cast.fill(), uuid7()
    sent(cast, fill, photo_file(), id=photo_id)
    assert cast["member"].get(cast.url("photos", photo_id)).status_code == 200

    Fill.objects.update(is_private=True)

    assert cast["member"].get(cast.url("photos", photo_id)).status_code == 404


def photos_in_feed(cast: Cast, who: str) -> dict[str, Any]:
    rows = cast[who].get(cast.url("changes?limit=500")).json()["rows"]
    return {row["id"]: row["row"] for row in rows if row["collection"] == "photos" and row["row"]}


def test_the_feed_tells_of_it_and_the_check_finds_its_file(
    cast: Cast, django_assert_max_num_queries: Any
) -> None:
    act, photo_id = roll(cast), uuid7()
    answer = sent(cast, act, photo_file(), id=photo_id)

    assert photos_in_feed(cast, "member") == {photo_id: answer.json()}
    assert Change.objects.filter(collection="photos").count() == 1
    assert photo_faults(cast) == []

    path = photo_path(cast.club.pk, answer.json()["sha256"])
    path.write_bytes(b"another")
    assert photo_faults(cast) == ["photo_changed"]
    path.unlink()
    assert photo_faults(cast) == ["photo_missing"]
    assert cast["keeper"].get(cast.url("photos", photo_id)).status_code == 404


def photo_faults(cast: Cast) -> list[str]:
    from django.utils import timezone

    return [fault.code for fault in club_check(cast.club, timezone.now()) if fault.code.startswith("photo")]


def test_reading_many_photos_costs_as_many_queries_as_reading_few(
    cast: Cast, django_assert_num_queries: Any
) -> None:
    from staveward.selectors.photos import photo_queryset, photo_rows

    reader = cast.people["member"]
    act = roll(cast)
    sent(cast, act, photo_file())
    with django_assert_num_queries(3):
        assert len(photo_rows(photo_queryset(cast.club), reader)) == 1
    for number in range(8):
        barrel = BarrelFactory(club=cast.club, place=cast.place, name=f"Barrel {number}")
        named = {"happened_at": ago(hours=1), "entered_at": ago(hours=1), "barrel": str(barrel.pk)}
        one = cast.done("tendings", {**named, "tasks": ["roll"]})
        assert sent(cast, one, photo_file()).status_code == 201
    with django_assert_num_queries(3):
        assert len(photo_rows(photo_queryset(cast.club), reader)) == 9


def test_a_size_that_is_not_kept_is_refused(cast: Cast) -> None:
    photo_id = uuid7()
    sent(cast, roll(cast), photo_file(), id=photo_id)

    answer = cast["keeper"].get(cast.url("photos", f"{photo_id}?size=poster"))

    assert (answer.status_code, problem(answer)["fields"][0]["field"]) == (400, "size")
