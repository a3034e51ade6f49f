"""Whom the house buys from."""

from __future__ import annotations

from django.db import models

from inventory.ground.fields import Line, Words


class Supplier(models.Model):
    """One supplier, with where to write when a delivery is wrong."""

    code = Line("code", max_length=20, unique=True)
    name = Line("name")
    email = models.EmailField("e-mail", blank=True, default="")
    telephone = Line("telephone", max_length=40, blank=True, default="")
    note = Words("note", blank=True, default="")

    class Meta:
        verbose_name = "supplier"
        verbose_name_plural = "suppliers"
        ordering = ("name", "pk")

    def __str__(self) -> str:
        return self.name
