"""Tells later packages that a snapshot was computed, without knowing them."""

from django.dispatch import Signal

snapshot_computed = Signal()  # snapshot=
