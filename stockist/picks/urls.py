"""The addresses of picking, up to the van."""

from __future__ import annotations

from django.urls import path

from stockist.picks import ending, home, leaving, line, listed

app_name = "picks"
urlpatterns = [
    path("", home.home, name="home"),
    path("make/", home.make, name="make"),
    path("<int:number>/", listed.listed, name="list"),
    path("<int:number>/scan/", listed.scan, name="scan"),
    path("<int:number>/lines/<int:row>/", line.line, name="line"),
    path("<int:number>/lines/<int:row>/pick/", line.pick, name="pick"),
    path("<int:number>/lines/<int:row>/other/", line.other, name="other"),
    path("<int:number>/lines/<int:row>/short/", line.short, name="short"),
    path("<int:number>/pack/", ending.pack, name="pack"),
    path("<int:number>/leave-out/", ending.leave_out, name="leave-out"),
    path("<int:number>/cancel/", ending.cancel, name="cancel"),
    path("<int:number>/leave/", leaving.page, name="leave"),
    path("<int:number>/word/", leaving.word, name="word"),
    path("<int:number>/send/", leaving.send, name="send"),
]
