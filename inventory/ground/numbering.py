"""The number of a document before its row is written, where other rows have to name it."""

from __future__ import annotations

from django.db import connection
from django.db.models import Model


def next_number(model: type[Model]) -> int:
    """The next key of a model's rows. It is used up, also where no row is written with it."""
    table, column = model._meta.db_table, model._meta.pk.column
    with connection.cursor() as cursor:
        cursor.execute("SELECT nextval(pg_get_serial_sequence(%s, %s))", [table, column])
        (number,) = cursor.fetchone()
    return int(number)
