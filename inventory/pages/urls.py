"""Addresses of the pages of stock."""

from __future__ import annotations

from django.urls import path

from inventory.pages.views import loaded_page, sheet_page, sheets, template_file

app_name = "sheets"
urlpatterns = [
    path("", sheets, name="list"),
    path("<slug:name>/", sheet_page, name="sheet"),
    path("<slug:name>/template.<slug:kind>", template_file, name="template"),
    path("<slug:name>/loaded/<int:pk>/", loaded_page, name="loaded"),
]
