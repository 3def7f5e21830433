"""Pictures drawn once from a snapshot and kept beside it; losing them costs only time."""

from __future__ import annotations

from django.db import models


class DrawnPage(models.Model):
    """The sections of one quarter as one kind of reader sees them, ready to be sent."""

    snapshot = models.ForeignKey("surveillance.Snapshot", models.CASCADE, related_name="+")
    key = models.CharField(max_length=64)  # of quarter, reader, flags and the drawing code
    content = models.BinaryField()  # zlib

    class Meta:
        constraints = [models.UniqueConstraint(fields=("snapshot", "key"), name="drawn_page_once")]

    def __str__(self) -> str:
        return f"{self.snapshot_id} {self.key[:8]}"
