"""The REST API, version 1: every resource in one router, and its own description."""

from __future__ import annotations

from typing import Any

from django.urls import include, path
from drf_spectacular.views import SpectacularAPIView, SpectacularSwaggerSplitView
from rest_framework.permissions import IsAuthenticated
from rest_framework.routers import DefaultRouter

from fitments.api import urls as cars
from inventory.api import urls as stock
from stockist.jobs import api as jobs
from stockist.problem_kinds import ProblemView
from stockist.tokens import OneToken, Tokens

router = DefaultRouter()
stock.register(router)
cars.register(router)
jobs.register(router)

schema: Any = SpectacularAPIView.as_view(permission_classes=(IsAuthenticated,))
# Without a style sheet inside the page, which the content security policy would block.
pages: Any = SpectacularSwaggerSplitView.as_view(
    url_name="api:schema",
    permission_classes=(IsAuthenticated,),
    template_name="stockist/api_docs.html",
)

app_name = "api"
urlpatterns = [
    path("", include("stockist.counter.api_urls")),  # before the hundreds of the router
    path("", include(router.urls)),
    path("", include(stock.urlpatterns)),
    path("", include("stockist.approvals.api_urls")),
    path("", include("stockist.papers.api_urls")),
    path("schema/", schema, name="schema"),
    path("docs/", pages, name="docs"),
    path("tokens/", Tokens.as_view(), name="tokens"),
    path("tokens/<slug:key>/", OneToken.as_view(), name="token"),
    path("problems/<slug:code>/", ProblemView.as_view(), name="problem"),
]
