"""The few tags that the house's templates have beyond Django's own."""

from __future__ import annotations

from urllib.parse import urlencode

from django import template

register = template.Library()


@register.simple_tag
def querystring_of(**values: object) -> str:
    """``name=value&...`` for an address, each value escaped for it."""
    return urlencode(values)
