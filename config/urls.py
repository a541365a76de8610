"""Addresses. Each app names its own; every view named here or there has its row in `config.access`."""

from django.urls import include, path

urlpatterns = [
    path("", include("hoods.urls")),
    path("", include("surveys.urls")),
    path("", include("reports.urls")),
]
