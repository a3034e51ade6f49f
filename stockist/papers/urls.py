"""The addresses of papers."""

from __future__ import annotations

from django.urls import path

from stockist.papers import views

app_name = "papers"
urlpatterns = [
    path("delivery-notes/<int:number>/", views.delivery_note, name="delivery-note"),
    path("quotes/<int:number>/", views.quote, name="quote"),
    path("scrutineer-cards/<int:number>/", views.card, name="card"),
]
