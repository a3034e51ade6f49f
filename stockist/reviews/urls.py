"""The addresses of approvals that are to be looked at again."""

from __future__ import annotations

from django.urls import path

from stockist.reviews import views

app_name = "reviews"
urlpatterns = [
    path("", views.due, name="due"),
    path("reviews.xlsx", views.due_xlsx, name="xlsx"),
]
