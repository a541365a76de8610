"""Addresses of what is printed."""

from django.urls import URLPattern, URLResolver, path

from reports import views

app_name = "reports"

urlpatterns: list[URLPattern | URLResolver] = [
    path("surveys/<uuid:id>/certificate.pdf", views.certificate, name="certificate"),
    path("hoods/<int:pk>/label.pdf", views.label, name="label"),
    path("hoods/<int:pk>/do-not-use.pdf", views.stop_sign, name="stop_sign"),
    path("labels/", views.labels, name="labels"),
]
