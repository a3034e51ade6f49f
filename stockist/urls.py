"""Every address of the house."""

from __future__ import annotations

from django.contrib import admin
from django.contrib.auth.views import LoginView, LogoutView
from django.urls import URLPattern, URLResolver, include, path

from stockist.health.views import alive, ready
from stockist.shell import home

sign_in = LoginView.as_view(template_name="stockist/sign_in.html", redirect_authenticated_user=True)

urlpatterns: list[URLPattern | URLResolver] = [
    path("api/v1/", include("stockist.api")),  # first: programs ask more often than people
    path("", home, name="home"),
    path("sign-in/", sign_in, name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("counter/", include("stockist.counter.urls")),
    path("sheets/", include("inventory.pages.urls")),
    path("customers/", include("stockist.customers.urls")),
    path("goods-in/", include("stockist.goods_in.urls")),
    path("counts/", include("stockist.counts.urls")),
    path("storage/", include("stockist.storage.urls")),
    path("consignments/", include("stockist.consignments.urls")),
    path("shelf/", include("stockist.shelf.urls")),
    path("vans/", include("stockist.vans.urls")),
    path("labels/", include("stockist.labels.urls")),
    path("purchasing/", include("stockist.purchasing.urls")),
    path("approvals/reviews/", include("stockist.reviews.urls")),
    path("approvals/", include("stockist.approvals.urls")),
    path("reorder/", include("stockist.reorder.urls")),
    path("season/", include("stockist.season.urls")),
    path("ageing/", include("stockist.ageing.urls")),
    path("picks/", include("stockist.picks.urls")),
    path("", include("stockist.selling.urls")),
    path("", include("stockist.sending.urls")),
    path("papers/", include("stockist.papers.urls")),
    path("jobs/", include("stockist.jobs.urls")),
    path("admin/", admin.site.urls),
    path("healthz", alive, name="alive"),
    path("readyz", ready, name="ready"),
]

handler403 = "stockist.faults.not_allowed"
handler404 = "stockist.faults.no_such_page"
handler500 = "stockist.faults.broken"
