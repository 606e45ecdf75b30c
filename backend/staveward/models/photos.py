"""Photos of entries. The pictures themselves lie as files in the data folder; a row says whose and what it shows."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from staveward.models.base import ClubRow


class Photo(ClubRow):
    """One photo of one entry. Its key was made on the device, like an entry's."""

    act = models.ForeignKey("staveward.Act", on_delete=models.PROTECT, related_name="photos")
    author = models.ForeignKey("staveward.Person", on_delete=models.PROTECT, related_name="+")
    # Of the file as it was sent: the repeat of a photo is known by it.
    sent_sha256 = models.CharField(max_length=64)
    # Of the picture as it is kept, which names its file.
    sha256 = models.CharField(max_length=64)
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()
    size_bytes = models.PositiveIntegerField()
    received_at = models.DateTimeField()
    # Taken back: the file is gone, and the row says that there was one.
    removed_at = models.DateTimeField(null=True, blank=True)
    removed_by = models.ForeignKey(
        "staveward.Person", null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["received_at", "id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(width_px__gte=1) & Q(height_px__gte=1), name="photo_shows_something"
            )
        ]

    def __str__(self) -> str:
        return f"photo {self.id}"
