"""The addresses of counts and write-offs."""

from __future__ import annotations

from django.urls import path

from stockist.counts import counts, working, write_offs

app_name = "counts"
urlpatterns = [
    path("", counts.counts, name="counts"),
    path("begin/", counts.begin, name="begin"),
    path("<int:number>/", counts.count, name="count"),
    path("<int:number>/enter/", counts.enter, name="enter"),
    path("<int:number>/lines/<int:line>/strike/", counts.strike, name="strike"),
    path("<int:number>/take-up/", counts.take_up, name="take-up"),
    path("<int:number>/hand-in/", counts.hand_in, name="hand-in"),
    path("<int:number>/post/", counts.post, name="post"),
    path("<int:number>/give-up/", counts.give_up, name="give-up"),
    path("work/", working.work, name="work"),
    path("write-offs/", write_offs.write_offs, name="write-offs"),
    path("write-offs/new/", write_offs.ask, name="write-off-ask"),
    path("write-offs/<int:number>/", write_offs.write_off, name="write-off"),
    path("write-offs/<int:number>/pass/", write_offs.pass_it, name="write-off-pass"),
    path("write-offs/<int:number>/refuse/", write_offs.refuse, name="write-off-refuse"),
]
