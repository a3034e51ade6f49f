"""Test databases: on a server with data of their own, so that tests never touch the shop's."""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import django
import psutil
from django.apps import apps
from django.db.backends.postgresql import creation

_LOCALE = "LOCALE_PROVIDER builtin BUILTIN_LOCALE 'C.UTF-8' LOCALE 'C' TEMPLATE template0"


class DatabaseCreation(creation.DatabaseCreation):
    """Each test run has a database of its own, named by its process; the dead ones' are dropped.

    Migrating an empty one takes many times as long as copying one that is migrated. So on our own
    server the first run keeps a copy, named by its migrations, and the others start from that.
    """

    def create_test_db(self, *args: Any, **kwargs: Any) -> str:
        settings = self.connection.settings_dict
        folder = settings["TEST"].get("FOLDER")
        if folder and settings.get("FOLDER") != folder:
            self.connection.close()
            settings.update(FOLDER=folder, CARELESS=True)
        self._drop_leftovers()
        if not folder or settings["TEST"].get("TEMPLATE"):
            return super().create_test_db(*args, **kwargs)
        with self._kept_database() as (kept, is_there):
            settings["TEST"]["TEMPLATE"] = kept if is_there else None
            try:
                name: str = super().create_test_db(*args, **kwargs)
            finally:
                settings["TEST"]["TEMPLATE"] = None
            if not is_there:
                self.connection.close()  # nobody may be connected to what is copied
                self._run(f"CREATE DATABASE {kept} TEMPLATE {self._quoted(name)}")
                self.connection.ensure_connection()
        return name

    def _destroy_test_db(self, test_database_name: str, verbosity: int) -> None:
        """Also where a process that a test has killed is not yet gone from the server's view."""
        self._run(f"DROP DATABASE {self._quoted(test_database_name)} WITH (FORCE)")

    @contextmanager
    def _kept_database(self) -> Iterator[tuple[str, bool]]:
        """Its name and whether it is there; nobody else makes or drops one in the meantime."""
        kept = f"migrated_{migrations_digest()[:20]}"
        with self.connection._nodb_cursor() as cursor:
            cursor.execute("SELECT pg_advisory_lock(hashtext('migrated databases'))")
            cursor.execute("SELECT datname FROM pg_database WHERE datname LIKE 'migrated\\_%'")
            names = {name for (name,) in cursor.fetchall()}
            for name in names - {kept}:
                cursor.execute(f"DROP DATABASE IF EXISTS {self._quoted(name)}")
            yield kept, kept in names

    def _run(self, statement: str) -> None:
        with self.connection._nodb_cursor() as cursor:
            cursor.execute(statement)

    def _quoted(self, name: str) -> str:
        quoted: str = self.connection.ops.quote_name(name)
        return quoted

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
                    cursor.execute(f"DROP DATABASE IF EXISTS {self._quoted(name)} WITH (FORCE)")


def migrations_digest() -> str:
    """What an empty database becomes by migrating: the same digest, the same tables."""
    digest = hashlib.sha256(django.get_version().encode())
    for config in apps.get_app_configs():
        for file in sorted((Path(config.path) / "migrations").glob("*.py")):
            digest.update(f"\n{config.label}/{file.name}\n".encode())
            digest.update(file.read_bytes())
    return digest.hexdigest()
