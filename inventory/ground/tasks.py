"""What the ground does by itself at night."""

from __future__ import annotations

from datetime import timedelta

from celery import shared_task
from django.utils import timezone

from inventory.ground.idempotency import forget

# Far longer than anybody goes on repeating a request, far shorter than would fill a table.
KEYS_ARE_KEPT = timedelta(days=30)


@shared_task
def forget_old_keys() -> int:
    """Forget the idempotency keys of more than thirty days ago; answers how many they were."""
    return forget(before=timezone.now() - KEYS_ARE_KEPT)
