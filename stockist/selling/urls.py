"""The addresses of promises: holds, quotes, orders, and the queue for what is to come."""

from __future__ import annotations

from django.urls import path

from stockist.selling import holds, order_lines, order_sets, order_steps, orders, queue, quotes

app_name = "selling"
urlpatterns = [
    path("holds/", holds.holds, name="holds"),
    path("holds/new/", holds.make, name="hold-make"),
    path("holds/<int:number>/", holds.hold, name="hold"),
    path("holds/<int:number>/extend/", holds.extend, name="hold-extend"),
    path("holds/<int:number>/release/", holds.release, name="hold-release"),
    path("quotes/", quotes.quotes, name="quotes"),
    path("quotes/new/", quotes.make, name="quote-make"),
    path("quotes/<int:number>/", quotes.quote, name="quote"),
    path("quotes/<int:number>/withdraw/", quotes.withdraw, name="quote-withdraw"),
    path("orders/", orders.orders, name="orders"),
    path("orders/new/", orders.make, name="order-make"),
    path("orders/<int:number>/", orders.order, name="order"),
    path("orders/<int:number>/change/", order_steps.change, name="order-change"),
    path("orders/<int:number>/set/", order_sets.add, name="order-set"),
    path("orders/<int:number>/pieces/", order_steps.add_pieces, name="order-pieces"),
    path("orders/<int:number>/cancel/", order_steps.cancel, name="order-cancel"),
    path("orders/<int:number>/close/", order_steps.close, name="order-close"),
    path("orders/lines/<int:number>/change/", order_lines.change, name="line-change"),
    path("orders/lines/<int:number>/hold/", order_lines.hold, name="line-hold"),
    path("orders/lines/<int:number>/queue/", order_lines.queue, name="line-queue"),
    path("orders/lines/<int:number>/cancel/", order_lines.cancel, name="line-cancel"),
    path("queue/", queue.waiting, name="queue"),
    path("queue/new/", queue.make, name="queue-make"),
    path("queue/<int:number>/", queue.one, name="queued"),
    path("queue/<int:number>/withdraw/", queue.withdraw, name="queue-withdraw"),
]
