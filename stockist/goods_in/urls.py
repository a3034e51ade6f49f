"""The addresses of goods in."""

from __future__ import annotations

from django.urls import path

from stockist.goods_in import (
    arrival,
    complain,
    complaints,
    ending,
    home,
    put_away,
    receive,
    transfers,
)

app_name = "goods_in"
urlpatterns = [
    path("", home.home, name="home"),
    path("deliveries/", home.deliveries, name="deliveries"),
    path("open/", home.open_one, name="open"),
    path("deliveries/<int:number>/", receive.receive, name="receive"),
    path("deliveries/<int:number>/lines/", receive.enter, name="enter"),
    path("deliveries/<int:number>/lines/<int:line>/strike/", receive.strike, name="strike"),
    path("deliveries/<int:number>/note/", receive.note, name="note"),
    path("deliveries/<int:number>/take-up/", ending.take_up, name="take-up"),
    path("deliveries/<int:number>/finish/", ending.finish, name="finish"),
    path("deliveries/<int:number>/give-up/", ending.give_up, name="give-up"),
    path("put-away/", put_away.put_away, name="put-away"),
    path("complaints/", complaints.complaints, name="complaints"),
    path("complaints/new/", complain.complain, name="complain"),
    path("complaints/<int:number>/", complaints.complaint, name="complaint"),
    path("complaints/<int:number>/send/", complaints.send, name="complaint-send"),
    path("complaints/<int:number>/settle/", complaints.settle, name="complaint-settle"),
    path("complaints/<int:number>/send-back/", complaints.send_back, name="complaint-send-back"),
    path("transfers/", transfers.transfers, name="transfers"),
    path("transfers/send/", transfers.send_off, name="send-off"),
    path("transfers/<int:number>/", arrival.transfer, name="transfer"),
    path("transfers/<int:number>/scan/", arrival.scan, name="transfer-scan"),
    path("transfers/<int:number>/arrival/", arrival.by_numbers, name="transfer-arrival"),
    path("transfers/<int:number>/take-up/", arrival.take_up, name="transfer-take-up"),
    path("transfers/<int:number>/end/", arrival.end_short, name="transfer-end"),
]
