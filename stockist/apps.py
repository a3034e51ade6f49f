"""The shop: it joins cars with stock, and has no tables of its own."""

from __future__ import annotations

import gc

from django.apps import AppConfig, apps
from django.db.models.signals import post_migrate

from stockist import checks  # noqa: F401 - importing registers them
from stockist.celery import app as celery_app
from stockist.roles import make_roles

COLLECT_AFTER = 10_000
"""Of so many more objects, garbage is looked for: an answer makes tens of thousands, all in use."""


class StockistConfig(AppConfig):
    name = "stockist"
    verbose_name = "shop"

    def ready(self) -> None:
        celery_app.set_default()  # tasks of the apps below belong to it in every thread
        # The last of our apps that has tables: by then every permission can be made.
        last = apps.get_app_config("fitments")
        post_migrate.connect(make_roles, sender=last, dispatch_uid="stockist.roles")
        gc.freeze()  # what is loaded now stays; looking through it again and again finds nothing
        gc.set_threshold(COLLECT_AFTER, *gc.get_threshold()[1:])
