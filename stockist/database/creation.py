"""Test databases: on a server with data of their own, so that tests never touch the shop's."""

from __future__ import annotations

import os
import re
from typing import Any

import psutil
from django.db.backends.postgresql import creation

_LOCALE = "LOCALE_PROVIDER builtin BUILTIN_LOCALE 'C.UTF-8' LOCALE 'C' TEMPLATE template0"


class DatabaseCreation(creation.DatabaseCreation):
    """Each test run has a database of its own, named by its process; the dead ones' are dropped."""

    def create_test_db(self, *args: Any, **kwargs: Any) -> str:
        settings = self.connection.settings_dict
        folder = settings["TEST"].get("FOLDER")
        if folder and settings.get("FOLDER") != folder:
            self.connection.close()
            settings.update(FOLDER=folder, CARELESS=True)
        self._drop_leftovers()
        return super().create_test_db(*args, **kwargs)

    def sql_table_creation_suffix(self) -> str:
        if self.connection.settings_dict["TEST"].get("TEMPLATE"):
            return super().sql_table_creation_suffix()
        return f"WITH ENCODING 'UTF8' {_LOCALE}"

    def _get_test_db_name(self) -> str:
        # Two runs at once would otherwise drop each other's database.
        return f"{self._plain_name()}_{os.getpid()}"

    def _plain_name(self) -> str:
        name: str = super()._get_test_db_name()  # type: ignore[misc]
        return name

    def _drop_leftovers(self) -> None:
        ours = re.compile(rf"{re.escape(self._plain_name())}_(\d+)")
        with self.connection._nodb_cursor() as cursor:
            cursor.execute("SELECT datname FROM pg_database")
            for (name,) in cursor.fetchall():
                match = ours.fullmatch(name)
                if match and not psutil.pid_exists(int(match[1])):
                    quoted = self.connection.ops.quote_name(name)
                    cursor.execute(f"DROP DATABASE IF EXISTS {quoted} WITH (FORCE)")
