"""The addresses of what runs in the background."""

from __future__ import annotations

from django.urls import path

from stockist.jobs import views

app_name = "jobs"
urlpatterns = [
    path("", views.jobs, name="list"),
    path("<int:number>/", views.job, name="job"),
    path("<int:number>/cancel/", views.cancel, name="cancel"),
    path("<int:number>/resume/", views.resume, name="resume"),
    path("<int:number>/again/", views.again, name="again"),
]
